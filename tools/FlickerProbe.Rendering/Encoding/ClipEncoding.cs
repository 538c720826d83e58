using System.Text.Json.Serialization;

namespace FlickerProbe.Rendering.Encoding;

/// <summary>The encoders.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ClipCodec>))]
public enum ClipCodec
{
    /// <summary>H.264 by libx264.</summary>
    H264,

    /// <summary>H.265 by libx265.</summary>
    Hevc,

    /// <summary>ProRes 422 (10 bit).</summary>
    ProRes,

    /// <summary>Motion JPEG.</summary>
    Mjpeg,

    /// <summary>FFV1, lossless.</summary>
    Ffv1,

    /// <summary>MPEG-2.</summary>
    Mpeg2,

    /// <summary>VP9.</summary>
    Vp9,
}

/// <summary>How a clip is compressed. The container follows from the file name: mp4, mov, mkv, avi, or png and jpg for a still of the first frame.</summary>
public sealed record ClipEncoding
{
    /// <summary>Which encoder.</summary>
    public ClipCodec Codec { get; init; } = ClipCodec.H264;

    /// <summary>Bit-exact, where the encoder can (H.264, H.265, VP9, FFV1); <see cref="Quality"/> is then not used.</summary>
    public bool Lossless { get; init; }

    /// <summary>
    /// The encoder's own quality number, lower is better: CRF of H.264, H.265 and VP9 (null: 18), quantiser of MPEG-2 and
    /// JPEG (null: 3), quantiser of ProRes (null: the bit rate of its HQ profile).
    /// </summary>
    public double? Quality { get; init; }

    /// <summary>Target bit rate, bit/s, instead of <see cref="Quality"/>.</summary>
    public long? BitsPerSecond { get; init; }

    /// <summary>Preset of H.264 and H.265.</summary>
    public string Preset { get; init; } = "veryfast";

    /// <summary>Longest distance of key frames, frames; null: the encoder's default.</summary>
    public int? KeyFrameDistance { get; init; }

    /// <summary>Frames coded from both sides (B frames) in a row; null: the encoder's default.</summary>
    public int? BFrames { get; init; }

    /// <summary>Whether the file says which primaries, curve and matrix it uses.</summary>
    public bool WriteColourTags { get; init; } = true;

    /// <summary>Whether the file says which range it uses.</summary>
    public bool WriteRangeTag { get; init; } = true;
}
