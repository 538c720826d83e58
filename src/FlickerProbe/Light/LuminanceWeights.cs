namespace FlickerProbe.Light;

/// <summary>Share of luminance that each linear colour channel carries; the three sum to 1.</summary>
/// <remarks>
/// Used two ways: from a clip's primaries, to make luminance out of linear red, green and blue; and, as the coefficients K of a
/// Y′CbCr matrix, to get red, green and blue back from luma and colour difference.
/// </remarks>
/// <param name="Red">Share of red.</param>
/// <param name="Green">Share of green.</param>
/// <param name="Blue">Share of blue.</param>
public readonly record struct LuminanceWeights(double Red, double Green, double Blue)
{
    /// <summary>Recommendation ITU-R BT.709-6, item 3.2; sRGB shares the primaries.</summary>
    public static LuminanceWeights Bt709 { get; } = new(0.2126, 0.7152, 0.0722);

    /// <summary>Recommendation ITU-R BT.601-7, item 2.5.1: the Y′CbCr matrix of standard definition and of JPEG files.</summary>
    public static LuminanceWeights Bt601 { get; } = new(0.299, 0.587, 0.114);

    /// <summary>Recommendation ITU-R BT.2020-2, table 4.</summary>
    public static LuminanceWeights Bt2020 { get; } = new(0.2627, 0.6780, 0.0593);

    /// <summary>Primaries of SMPTE RP 431-2 with the D65 white point, as phones record.</summary>
    public static LuminanceWeights P3 { get; } = new(0.22897, 0.69174, 0.07929);
}
