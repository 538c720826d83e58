namespace FlickerProbe.Footage;

/// <summary>What the recording itself shows of how much faint change its encoder kept.</summary>
/// <remarks>Where sensor noise has been flattened, faint flicker has been too (measurement model, trap 4).</remarks>
/// <param name="UnchangedShare">Share 0…1 of region pixels whose code equals that of the frame before, over all frame pairs not known to be duplicates; null for one frame.</param>
/// <param name="TemporalNoiseCodes">Standard deviation of frame-to-frame code change divided by √2, in 8-bit-equivalent codes, high-passed along the row so that flicker itself does not count; null for one frame.</param>
/// <param name="BitsPerPixel">Coded bits per pixel of the whole picture, mean over the frames; null when packet sizes are unknown.</param>
/// <param name="CodeStepRelative">Relative change of linear light for one code step at the region's mean level: 0.017 for 8-bit BT.709 near mid-scale.</param>
/// <param name="Codec">Codec name as ffmpeg gives it: h264, hevc, prores, ffv1, png…</param>
/// <param name="Lossless">Whether the codec is known to keep every code (ffv1, rawvideo, png, utvideo …).</param>
public sealed record RecordingTraits(
    double? UnchangedShare, double? TemporalNoiseCodes, double? BitsPerPixel, double CodeStepRelative, string Codec, bool Lossless)
{
    /// <summary>Bits of one luma code in the file.</summary>
    public int BitDepth { get; init; } = 8;

    /// <summary>Noise as <see cref="TemporalNoiseCodes"/> has it of the codes whose rounding weighs most in this light, where that is not luma: colour difference for a
    /// primary by itself. Null: that of luma.</summary>
    public double? RoundingNoiseCodes { get; init; }

    /// <summary>Rows of the picture for each row of samples that the encoder had: 2 for a primary by itself in 4:2:0.</summary>
    public int RowsPerSample { get; init; } = 1;

    /// <summary>Share of region pixels unchanged from the frame before, one entry per frame (entry 0 is NaN); used to find duplicated frames. Empty when not gathered.</summary>
    public float[] UnchangedShareByFrame { get; init; } = [];

    /// <summary>Coded size in bytes of each frame in display order; empty when unknown.</summary>
    public int[] FrameBytes { get; init; } = [];

    /// <summary>Whether each frame was coded by itself, without reference to others, in display order; empty when unknown.</summary>
    public bool[] IsKeyFrame { get; init; } = [];
}
