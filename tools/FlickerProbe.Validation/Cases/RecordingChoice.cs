using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;

namespace FlickerProbe.Validation.Cases;

/// <summary>How a case is recorded: codec, strength, bits, range, curve, container.</summary>
/// <param name="Name">Codec and strength for the tables of the report.</param>
/// <param name="Extension">Container.</param>
/// <param name="IsGood">Lossless, ProRes, or a CRF of 18 or less: where the tool has no excuse.</param>
/// <param name="IsLosslessClass">Lossless or ProRes.</param>
internal sealed record RecordingChoice(
    string Name, string Extension, ClipEncoding Encoding, PixelLayout Layout, TransferCurve Curve, string CurveName, bool IsGood, bool IsLosslessClass)
{
    /// <summary>Throws for a recorder; <paramref name="interlaced"/> and <paramref name="turned"/> narrow the choice to what can carry that.</summary>
    public static RecordingChoice Throw(Dice dice, bool interlaced, bool turned, bool unevenStamps)
    {
        string codec = interlaced
            ? dice.Weighted((50, "h264"), (20, "mpeg2"), (15, "prores"), (15, "ffv1"))
            : dice.Weighted((52, "h264"), (6, "h264 lossless"), (6, "ffv1"), (9, "hevc"), (8, "hevc 10 bit"), (8, "prores"), (4, "mjpeg"), (3, "mpeg2"), (2, "vp9"), (2, "h264 10 bit"));
        if (turned && codec is "ffv1" or "vp9") codec = "h264";
        // MPEG-2 knows fixed rates only.
        if (unevenStamps && codec == "mpeg2") codec = "h264";
        string preset = dice.Weighted((2, "ultrafast"), (4, "superfast"), (5, "veryfast"), (3, "faster"), (2, "medium"));
        double crf = dice.Chance(0.75) ? dice.Whole(14, 24) : dice.Whole(12, 32);
        bool fullRange = dice.Chance(0.12);
        int bits = codec switch { "hevc 10 bit" or "h264 10 bit" or "prores" => 10, "ffv1" => dice.Of(8, 8, 10, 12), _ => 8 };
        ChromaSampling chroma = codec == "prores" ? ChromaSampling.C422 : codec == "ffv1" ? dice.Of(ChromaSampling.C420, ChromaSampling.C422, ChromaSampling.Gray) : ChromaSampling.C420;
        if (codec == "ffv1" && chroma == ChromaSampling.Gray) bits = 8;
        string extension = codec switch
        {
            "ffv1" or "vp9" => ".mkv",
            "prores" => ".mov",
            "mjpeg" => turned ? ".mov" : dice.Of(".mov", ".avi"),
            "mpeg2" => turned ? ".mov" : dice.Of(".mkv", ".mov"),
            _ => dice.Weighted((6, ".mp4"), (3, ".mov"), (1, turned ? ".mp4" : ".mkv")),
        };
        ClipEncoding encoding = codec switch
        {
            "h264 lossless" => new ClipEncoding { Codec = ClipCodec.H264, Lossless = true, Preset = "ultrafast" },
            "ffv1" => new ClipEncoding { Codec = ClipCodec.Ffv1, Lossless = true },
            "hevc" or "hevc 10 bit" => new ClipEncoding { Codec = ClipCodec.Hevc, Quality = crf, Preset = dice.Of("ultrafast", "superfast", "veryfast") },
            "prores" => new ClipEncoding { Codec = ClipCodec.ProRes, Quality = dice.Whole(2, 8) },
            "mjpeg" => new ClipEncoding { Codec = ClipCodec.Mjpeg, Quality = dice.Whole(2, 6) },
            "mpeg2" => new ClipEncoding { Codec = ClipCodec.Mpeg2, Quality = dice.Whole(2, 8) },
            "vp9" => new ClipEncoding { Codec = ClipCodec.Vp9, Quality = dice.Whole(15, 35) },
            _ => new ClipEncoding { Codec = ClipCodec.H264, Quality = crf, Preset = preset, BFrames = dice.Chance(0.3) ? 0 : null, KeyFrameDistance = dice.Chance(0.3) ? 25 : null },
        };

        // A curve that isn't BT.709 needs a codec that can say so, and enough bits where it is steep.
        string curve = "bt709";
        bool tagged = codec is "h264" or "h264 lossless" or "hevc" or "h264 10 bit" or "hevc 10 bit";
        if (tagged && bits == 10) curve = dice.Weighted((5, "bt709"), (5, "hlg"), (3, "pq"), (3, "log"));
        else if (tagged) curve = dice.Weighted((80, "bt709"), (8, "srgb"), (6, "gamma22"), (6, "log"));
        else if (codec == "prores") curve = dice.Weighted((7, "bt709"), (3, "log"));
        TransferCurve transfer = curve switch
        {
            "srgb" => new TransferCurve { Kind = CurveKind.Srgb },
            "gamma22" => new TransferCurve { Kind = CurveKind.Gamma22 },
            "hlg" => new TransferCurve { Kind = CurveKind.Hlg },
            "pq" => new TransferCurve { Kind = CurveKind.Pq },
            "log" => TransferCurve.InventedLog(),
            _ => TransferCurve.Bt709,
        };
        LumaMatrix matrix = curve is "hlg" or "pq" ? LumaMatrix.Bt2020 : codec == "mpeg2" ? LumaMatrix.Bt601 : LumaMatrix.Bt709;
        // Motion JPEG is full range by custom; ProRes limited.
        if (codec == "mjpeg") fullRange = true;
        if (codec is "prores" or "mpeg2") fullRange = false;

        bool losslessClass = encoding.Lossless || codec == "prores";
        bool good = losslessClass || (encoding.Codec is ClipCodec.H264 or ClipCodec.Hevc && encoding.Quality <= 18) || (codec == "mjpeg" && encoding.Quality <= 3);
        string strength = encoding.Lossless ? "lossless" : codec switch
        {
            "prores" => "prores",
            "mjpeg" or "mpeg2" or "vp9" => codec,
            _ => encoding.Quality switch { <= 16 => "crf 12–16", <= 20 => "crf 17–20", <= 24 => "crf 21–24", _ => "crf 25–32" },
        };
        string name = codec.Split(' ')[0] + (strength == codec ? "" : " " + strength);
        return new RecordingChoice(name, extension, encoding, new PixelLayout { Bits = bits, Chroma = chroma, FullRange = fullRange, Matrix = matrix }, transfer, curve, good, losslessClass);
    }
}
