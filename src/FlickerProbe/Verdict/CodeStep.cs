namespace FlickerProbe.Verdict;

/// <summary>How much light one code step of 8-bit video is: fainter flicker an 8-bit programme can hardly carry.</summary>
/// <remarks>Curve: Recommendation ITU-R BT.709-6, item 1.2 (V = 1.099 L^0.45 − 0.099), limited range (V = (code − 16) / 219).</remarks>
public static class CodeStep
{
    /// <summary>Modulation depth of a square wave between two neighbouring 8-bit codes around half the signal scale (codes 125 and 126), about 0.0085.</summary>
    public static double DepthNearMidScale { get; } = DepthAt(125);

    /// <summary>Modulation depth (max − min)/(max + min) of linear light between one 8-bit limited-range code and the next.</summary>
    /// <param name="code">The lower code, 34…234: the power part of the curve.</param>
    public static double DepthAt(int code)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(code, 34);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(code, 234);
        double dark = LinearLight(code), bright = LinearLight(code + 1);
        return (bright - dark) / (bright + dark);
    }

    private static double LinearLight(int code) => Math.Pow(((code - 16) / 219.0 + 0.099) / 1.099, 1 / 0.45);
}
