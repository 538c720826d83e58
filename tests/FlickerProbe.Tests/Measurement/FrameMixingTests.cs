using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Frames that hold part of the one before are told by their noise.</summary>
public class FrameMixingTests
{
    private const int Frames = 120, Rows = 90;

    private static readonly CompressionLoss Lossless = new(0, 0, 0, 0, 0, 0.01), Lossy = new(0.002, 0.002, 0, 0.02, 0, 0.01);
    private static readonly LightMatrix Matrix = Planes.Of(Frames, Rows, (_, _) => 1);

    /// <summary>Noise of which each frame is mixed with the share of the frame before: as recorded, or as mixed itself.</summary>
    private static float[] Noise(double share, bool recursive)
    {
        float[] plane = Planes.Noise(Matrix, 7), fresh = (float[])plane.Clone();
        for (int i = Rows; i < plane.Length; i++) plane[i] = (float)((1 - share) * fresh[i] + share * (recursive ? plane : fresh)[i - Rows]);
        return plane;
    }

    [Theory]
    [InlineData(0.5, false)] // the mean of two
    [InlineData(0.2, false)]
    [InlineData(0.5, true)]
    [InlineData(0.3, true)]
    public void Mixed_frames_are_seen(double share, bool recursive) => Assert.True(FrameMixing.IsPlain(Matrix, Noise(share, recursive), Lossless));

    [Fact]
    public void Noise_that_is_new_in_every_frame_is_none() => Assert.False(FrameMixing.IsPlain(Matrix, Noise(0, false), Lossless));

    [Fact]
    public void An_encoder_that_predicts_frames_can_not_tell() => Assert.False(FrameMixing.IsPlain(Matrix, Noise(0.5, false), Lossy));

    [Fact]
    public void What_drifts_is_none()
    {
        float[] plane = Noise(0, false);
        for (int i = 0; i < plane.Length; i++) plane[i] += 3 * MathF.Sin(i / Rows * 0.1f);
        Assert.False(FrameMixing.IsPlain(Matrix, plane, Lossless));
    }
}
