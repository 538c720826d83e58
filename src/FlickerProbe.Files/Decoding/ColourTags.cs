using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>ffmpeg's names of colour tags, read.</summary>
/// <remarks>The tags are those of Recommendation ITU-T H.273, tables 2 to 4; names as in libavutil/pixdesc.c.</remarks>
internal static class ColourTags
{
    /// <summary>The curve a transfer tag means; null when the tag is missing or its curve is not among those known here.</summary>
    public static TransferFunction? Transfer(string? tag) => tag switch
    {
        "bt709" or "smpte170m" or "bt2020-10" or "bt2020-12" or "iec61966-2-4" => TransferFunction.Bt709,
        "iec61966-2-1" => TransferFunction.Srgb,
        "bt470m" or "gamma22" => TransferFunction.Gamma22,
        "bt470bg" or "gamma28" => TransferFunction.Gamma28,
        "linear" => TransferFunction.Linear,
        "arib-std-b67" => TransferFunction.Hlg,
        "smpte2084" => TransferFunction.Pq,
        _ => null,
    };

    /// <summary>Luminance shares of a primaries tag; those of BT.709 when missing or not known.</summary>
    public static LuminanceWeights Primaries(string? tag) => tag switch
    {
        "bt2020" => LuminanceWeights.Bt2020,
        "smpte432" or "smpte431" => LuminanceWeights.P3,
        _ => LuminanceWeights.Bt709,
    };

    /// <summary>Matrix coefficients of a matrix tag. Missing: BT.601 under 720 rows, BT.709 from there on (common practice, no source).</summary>
    public static LuminanceWeights Matrix(string? tag, int height) => tag switch
    {
        "bt470bg" or "smpte170m" or "fcc" => LuminanceWeights.Bt601,
        "bt2020nc" or "bt2020c" => LuminanceWeights.Bt2020,
        "bt709" => LuminanceWeights.Bt709,
        _ => height < 720 ? LuminanceWeights.Bt601 : LuminanceWeights.Bt709,
    };
}
