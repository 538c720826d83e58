using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>What a clip file says of itself, with what had to be assumed marked as such.</summary>
public sealed record ClipInfo
{
    /// <summary>Path as given.</summary>
    public required string Path { get; init; }

    /// <summary>Length of the file in bytes.</summary>
    public required long FileBytes { get; init; }

    /// <summary>Container, as ffmpeg names it.</summary>
    public required string Container { get; init; }

    /// <summary>Index of the video stream in the file.</summary>
    public required int StreamIndex { get; init; }

    /// <summary>Codec, as ffmpeg names it: h264, hevc, prores, png…</summary>
    public required string Codec { get; init; }

    /// <summary>Columns of the coded picture as decoded, before any rotation.</summary>
    public required int Width { get; init; }

    /// <summary>Rows of the coded picture as decoded, before any rotation: sensor rows.</summary>
    public required int Height { get; init; }

    /// <summary>How it is turned to be displayed.</summary>
    public required Orientation Orientation { get; init; }

    /// <summary>A single picture rather than a clip.</summary>
    public required bool IsStill { get; init; }

    /// <summary>Pixel format of the decoded pictures.</summary>
    public required PixelLayout Pixels { get; init; }

    /// <summary>Limited or full range.</summary>
    public required SignalRange Range { get; init; }

    /// <summary>Whether the file leaves the range open.</summary>
    public required bool RangeAssumed { get; init; }

    /// <summary>The curve to undo, from the clip's tag or assumed.</summary>
    public required TransferFunction Transfer { get; init; }

    /// <summary>Whether the curve is an assumption: the tag is missing or names a curve that is not known here.</summary>
    public required bool TransferAssumed { get; init; }

    /// <summary>The transfer tag, as ffmpeg names it; null when missing.</summary>
    public string? TransferTag { get; init; }

    /// <summary>The primaries tag, as ffmpeg names it; null when missing.</summary>
    public string? PrimariesTag { get; init; }

    /// <summary>The matrix tag, as ffmpeg names it; null when missing.</summary>
    public string? MatrixTag { get; init; }

    /// <summary>Share of luminance of each linear channel, by the primaries (BT.709 when untagged).</summary>
    public required LuminanceWeights Primaries { get; init; }

    /// <summary>Coefficients K of the Y′CbCr matrix.</summary>
    public required LuminanceWeights Matrix { get; init; }

    /// <summary>Rate the stream states (r_frame_rate); null when it states none.</summary>
    public FrameRate? NominalRate { get; init; }

    /// <summary>Average rate the container states (avg_frame_rate); null when it states none.</summary>
    public FrameRate? AverageRate { get; init; }

    /// <summary>The rate to measure by; null when the file gives nothing to go by, and for a still.</summary>
    public FrameRate? Rate { get; init; }

    /// <summary>Progressive, or the field order that the stream states.</summary>
    public required FieldOrder Fields { get; init; }

    /// <summary>Resolution of the time stamps, seconds.</summary>
    public required double TickSeconds { get; init; }

    /// <summary>Display times of the pictures that will be shown, seconds from the first, ascending; null when the file carries none.</summary>
    public double[]? Seconds { get; init; }

    /// <summary>Whether decoding can start at each picture, in display order: it was coded without reference to others; empty when the file carries no times.</summary>
    public bool[] IsKey { get; init; } = [];

    /// <summary>Display times of the pictures that decoding can start at, seconds from the first picture, ascending; empty when the file carries no times.</summary>
    public double[] KeySeconds => [.. (Seconds ?? []).Zip(IsKey).Where(picture => picture.Second).Select(picture => picture.First)];

    /// <summary>Coded bytes of each picture, in display order where time stamps tell it, else in file order.</summary>
    public required int[] PacketBytes { get; init; }

    /// <summary>Coded bits for each pixel of a picture, on average; null when the file announces none.</summary>
    public double? BitsPerPixel => PacketBytes.Length == 0 ? null : 8.0 * PacketBytes.Average() / ((double)Width * Height);

    /// <summary>Pictures the file announces by its packets.</summary>
    public int Packets => PacketBytes.Length;

    /// <summary>Bits per second of the stream: what its packets hold over the time they take; null when that can't be told.</summary>
    public double? BitsPerSecond { get; init; }

    /// <summary>When the camera says that it recorded the clip (creation_time tag); null when it does not say, or says a date before there was video on file.</summary>
    public DateTimeOffset? RecordedAt { get; init; }

    /// <summary>Range and depth of the codes.</summary>
    public SignalScale Scale => new(Range, Pixels.Depth);

    /// <summary>Displayed width and height in pixels.</summary>
    public (int Width, int Height) DisplayedSize => Orientation.DisplayedSize(Width, Height);

    /// <summary>The codec's profile as ffmpeg names it; null when there is none.</summary>
    public string? Profile { get; init; }

    /// <summary>Whether the codec keeps every code.</summary>
    /// <remarks>H.264 may keep every code only in the profile High 4:4:4 Predictive (Rec. ITU-T H.264, A.2.7); encoders put pictures with less colour into it
    /// for nothing else (common practice, no source). It then takes bits as lossless coding does.</remarks>
    public bool Lossless => (Codec == "h264" && Profile == "High 4:4:4 Predictive" && Pixels.DifferenceColumnShift > 0 && BitsPerPixel >= 1) || Codec is "ffv1" or "rawvideo" or "png" or "apng" or "utvideo" or "huffyuv" or "ffvhuff" or "magicyuv" or "bmp"
        or "tiff" or "dpx" or "v210" or "v410" or "r210" or "qtrle" or "zlib" or "lagarith" or "wrapped_avframe";

    /// <summary>The file's name without its folder, for messages.</summary>
    public string FileName => System.IO.Path.GetFileName(Path);
}
