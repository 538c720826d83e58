namespace FlickerProbe.Files.Reports;

/// <summary>The marks that stand beside a verdict's word: each has its own shape, so that neither colour nor a good print is needed.</summary>
/// <remarks>Pass: an open ring with a tick. Watch: a diamond with a question mark. Fail: a filled square with a cross. On a 24 × 24 grid.</remarks>
internal static class VerdictMark
{
    /// <summary>Colours of the verdicts as red, green, blue; told apart by lightness too, and dark enough for text on white.</summary>
    public static (byte Red, byte Green, byte Blue) Colour(string verdict) => verdict switch
    {
        "pass" => (0x1D, 0x4F, 0x7C),
        "fail" => (0x8E, 0x2A, 0x10),
        _ => (0x8A, 0x61, 0x00),
    };

    /// <summary>Corners of the tick (pass) and of the cross's strokes (fail).</summary>
    public static readonly (double X, double Y)[] Tick = [(6.5, 12.5), (10.5, 16.5), (17.5, 8)];

    public static readonly (double X, double Y)[] CrossDown = [(7.5, 7.5), (16.5, 16.5)];

    public static readonly (double X, double Y)[] CrossUp = [(7.5, 16.5), (16.5, 7.5)];

    public static readonly (double X, double Y)[] Diamond = [(12, 1), (23, 12), (12, 23), (1, 12)];

    /// <summary>The mark as SVG; decorative, since the word stands beside it.</summary>
    public static string Svg(string verdict)
    {
        const string open = "<svg viewBox=\"0 0 24 24\" aria-hidden=\"true\" fill=\"none\" stroke-linecap=\"round\" stroke-linejoin=\"round\">";
        return open + verdict switch
        {
            "pass" => $"<circle cx=\"12\" cy=\"12\" r=\"10.4\" stroke=\"currentColor\" stroke-width=\"2.2\"/><path d=\"{Path(Tick)}\" stroke=\"currentColor\" stroke-width=\"2.8\"/>",
            "fail" => $"<rect x=\"1\" y=\"1\" width=\"22\" height=\"22\" fill=\"currentColor\"/><path d=\"{Path(CrossDown)}{Path(CrossUp)}\" stroke=\"#fff\" stroke-width=\"3.2\"/>",
            _ => $"<path d=\"{Path(Diamond)}Z\" stroke=\"currentColor\" stroke-width=\"2.2\"/><text x=\"12\" y=\"17\" text-anchor=\"middle\" font-size=\"14\" font-weight=\"bold\" fill=\"currentColor\" stroke=\"none\">?</text>",
        } + "</svg>";
    }

    private static string Path((double X, double Y)[] points) =>
        "M" + string.Join("L", points.Select(point => FormattableString.Invariant($"{point.X} {point.Y}")));
}
