namespace FlickerProbe.Light;

/// <summary>Perceptual quantiser, undone to display light, in units of the reference white of 203 cd/m².</summary>
/// <remarks>
/// SMPTE ST 2084:2014, equation 5.1; Recommendation ITU-R BT.2100-2, table 4. Reference white: Report ITU-R BT.2408, HDR reference white
/// 203 cd/m². What a camera's own rendering did before the curve is not published and is not undone. Below black the curve goes on
/// point-symmetrically.
/// </remarks>
internal sealed record PqCurve : TransferFunction
{
    /// <summary>The luminance that counts as 1, cd/m².</summary>
    internal const double ReferenceWhite = 203;

    private const double PeakLuminance = 10000; // cd/m²
    private const double M1 = 2610.0 / 16384;
    private const double M2 = 2523.0 / 32;
    private const double C1 = 3424.0 / 4096;
    private const double C2 = 2413.0 / 128;
    private const double C3 = 2392.0 / 128;

    public override string Name => "pq";

    public override double ToLinear(double level)
    {
        double power = Math.Pow(Math.Abs(level), 1 / M2);
        double luminance = PeakLuminance * Math.Pow(Math.Max(power - C1, 0) / (C2 - C3 * power), 1 / M1);
        return Math.CopySign(luminance / ReferenceWhite, level);
    }
}
