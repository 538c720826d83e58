namespace FlickerProbe.Light;

/// <summary>sRGB, undone: L = V / 12.92 up to V = 0.04045, else ((V + 0.055) / 1.055)^2.4.</summary>
/// <remarks>IEC 61966-2-1:1999, clause 5.2.</remarks>
internal sealed record SrgbCurve : TransferFunction
{
    public override string Name => "srgb";

    public override double ToLinear(double level) => level <= 0.04045 ? level / 12.92 : Math.Pow((level + 0.055) / 1.055, 2.4);
}
