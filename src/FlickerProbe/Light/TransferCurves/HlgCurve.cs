namespace FlickerProbe.Light;

/// <summary>Hybrid log-gamma, undone to scene light: E = V² / 3 up to V = ½, else (exp((V − c) / a) + b) / 12; 1 is the peak.</summary>
/// <remarks>
/// Recommendation ITU-R BT.2100-2, table 5 (inverse of the reference OETF). The display's system gamma is no part of the camera and is not
/// applied. Below black the curve goes on point-symmetrically.
/// </remarks>
internal sealed record HlgCurve : TransferFunction
{
    private const double A = 0.17883277;
    private const double B = 1 - 4 * A;
    private static readonly double C = 0.5 - A * Math.Log(4 * A);

    public override string Name => "hlg";

    public override double ToLinear(double level) =>
        level <= 0.5 ? level * Math.Abs(level) / 3 : (Math.Exp((level - C) / A) + B) / 12;
}
