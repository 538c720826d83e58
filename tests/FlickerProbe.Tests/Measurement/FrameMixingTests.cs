using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Frames that hold part of the one before are told by their noise.</summary>
public class FrameMixingTests
{
    private const int Frames = 120, Rows = 90;

    private static readonly CompressionLoss Lossless = new(0, 0, 0, 0, 0, 0.01) { KeepsNoise = true };
    private static readonly CompressionLoss Starved = new(0.002, 0.002, 0, 0.02, 0, 0.01), Rich = Starved with { KeepsNoise = true };
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
    [InlineData(0.9, true)] // noise reduction that keeps nine tenths of what was there: no frame differs much from the next
    public void Mixed_frames_are_seen(double share, bool recursive) => Assert.NotNull(FrameMixing.Of(Matrix, Noise(share, recursive), Lossless));

    [Theory]
    [InlineData(0.5, false)]
    [InlineData(0.3, false)]
    [InlineData(0.3, true)]
    [InlineData(0.6, true)]
    public void What_is_left_of_a_tone_is_not_overstated(double share, bool recursive)
    {
        FrameMixing mixing = FrameMixing.Of(Matrix, Noise(share, recursive), Lossless)!;
        foreach (double pace in new[] { 0.03, 0.1, 0.15, 0.25, 0.33, 0.4 })
        {
            double angle = 2 * Math.PI * pace, square = share * share;
            double truth = recursive
                ? (1 - share) / Math.Sqrt(1 + square - 2 * share * Math.Cos(angle))
                : Math.Sqrt((1 - share) * (1 - share) + square + 2 * share * (1 - share) * Math.Cos(angle));
            // A mean of two and a long memory take the slow paces alike: the worse one counts.
            Assert.InRange(mixing.Left(pace), (share == 0.5 ? 0.04 : 0.2) * truth, 1.1 * truth);
            Assert.Equal(mixing.Left(pace), mixing.Left(-pace));
        }
        Assert.Equal(1, mixing.Left(0), 9);
    }

    [Fact]
    public void Noise_that_is_new_in_every_frame_is_none() => Assert.Null(FrameMixing.Of(Matrix, Noise(0, false), Lossless));

    [Theory]
    [InlineData(0.5, false)]
    [InlineData(0.2, true)]
    public void An_encoder_short_of_bits_can_not_tell_how_far_flicker_faded(double share, bool recursive) =>
        Assert.False(FrameMixing.Of(Matrix, Noise(share, recursive), Starved)!.IsPlain);

    [Fact]
    public void Noise_that_an_encoder_short_of_bits_kept_as_it_was_is_none() => Assert.Null(FrameMixing.Of(Matrix, Noise(0, false), Starved));

    [Theory]
    [InlineData(0.5, false)]
    [InlineData(0.25, false)]
    [InlineData(0.5, true)]
    public void Mixed_frames_are_seen_through_an_encoder_that_keeps_the_noise(double share, bool recursive)
    {
        Assert.True(FrameMixing.Of(Matrix, Noise(share, recursive), Rich) is { IsPlain: true, MayBeTheEncoders: true });
        Assert.False(FrameMixing.Of(Matrix, Noise(share, recursive), Lossless)!.MayBeTheEncoders);
    }

    [Theory]
    [InlineData(0, false)]
    [InlineData(0.04, true)] // fast noise at 0.9 of the power of slow noise: encoders do that themselves
    public void What_encoders_leave_out_themselves_is_none(double share, bool recursive) => Assert.Null(FrameMixing.Of(Matrix, Noise(share, recursive), Rich));

    [Fact]
    public void A_fade_that_tells_of_mixing_without_losses_may_be_the_encoders_own()
    {
        float[] plane = Noise(0.24, true); // fast noise at a little over half the power of slow noise
        Assert.True(FrameMixing.Of(Matrix, plane, Lossless)!.IsPlain);
        Assert.False(FrameMixing.Of(Matrix, plane, Rich)!.IsPlain);
    }

    [Theory]
    [InlineData(40, 24)]
    [InlineData(100, 12)]
    [InlineData(60, 48)]
    [InlineData(120, 90)]
    public void Chance_in_short_clips_of_few_rows_is_none(int frames, int rows)
    {
        LightMatrix matrix = Planes.Of(frames, rows, (_, _) => 1);
        int[] found = new int[2];
        for (int seed = 0; seed < 100; seed++)
        {
            float[] plane = Planes.Noise(matrix, seed);
            if (FrameMixing.Of(matrix, plane, Lossless) is not null) found[0]++;
            if (FrameMixing.Of(matrix, plane, Rich) is not null) found[1]++;
        }
        Assert.All(found, n => Assert.InRange(n, 0, 2));
    }

    [Theory]
    [InlineData(0.5, true)]
    [InlineData(0.25, true)]
    [InlineData(0, false)]
    public void Fields_are_held_against_those_of_the_same_rows(double share, bool isMixed)
    {
        LightMatrix matrix = Planes.Of(Frames, 2 * Rows, (_, _) => 1, fields: FieldOrder.TopFieldFirst);
        float[] fresh = Planes.Noise(matrix, 7), plane = (float[])fresh.Clone();
        for (int i = 2 * matrix.Lines; i < plane.Length; i++) plane[i] = (float)((1 - share) * fresh[i] + share * fresh[i - 2 * matrix.Lines]);
        foreach (CompressionLoss loss in new[] { Lossless, Rich, Starved })
        {
            FrameMixing? mixing = FrameMixing.Of(matrix, plane, loss);
            Assert.Equal(isMixed, mixing is not null);
            Assert.NotEqual(true, mixing?.IsPlain);
        }
    }

    [Fact]
    public void What_drifts_is_none()
    {
        float[] plane = Noise(0, false);
        for (int i = 0; i < plane.Length; i++) plane[i] += 3 * MathF.Sin(i / Rows * 0.1f);
        Assert.Null(FrameMixing.Of(Matrix, plane, Lossless));
    }

    [Fact]
    public void The_mean_of_three_frames_is_seen()
    {
        float[] fresh = Planes.Noise(Matrix, 7), plane = (float[])fresh.Clone();
        for (int i = 2 * Rows; i < plane.Length; i++) plane[i] = (fresh[i] + fresh[i - Rows] + fresh[i - 2 * Rows]) / 3;
        Assert.NotNull(FrameMixing.Of(Matrix, plane, Lossless));
    }

    [Fact]
    public void Mixed_frames_are_seen_beside_something_that_moves()
    {
        float[] plane = Noise(0.5, true);
        for (int i = 0; i < plane.Length; i++) if (i % Rows < Rows / 3) plane[i] += i % Rows == i / Rows % (Rows / 3) ? 20 : 0;
        Assert.NotNull(FrameMixing.Of(Matrix, plane, Lossless));
    }

    [Fact]
    public void Something_that_moves_in_some_rows_is_none()
    {
        float[] plane = Noise(0, false);
        for (int i = 0; i < plane.Length; i++) if (i % Rows < Rows / 6 * (1 + MathF.Sin(i / Rows * 0.2f))) plane[i] += 20; // an edge goes to and fro in a third of the rows
        Assert.Null(FrameMixing.Of(Matrix, plane, Lossless));
    }

    [Theory]
    [InlineData(0, false)]
    [InlineData(0.5, true)]
    public void What_the_tones_leave_of_a_pulse_train_is_none_and_hides_none(double share, bool isMixed)
    {
        // Overtones too fine to be searched for fill half the bins of the slowest pace.
        float[] plane = Noise(share, false);
        foreach ((float pace, float bands) in new[] { (0.137f, 0.31f), (0.172f, 0.23f) })
            for (int i = 0; i < plane.Length; i++) plane[i] += 2 * MathF.Sin(2 * MathF.PI * (i / Rows * pace + i % Rows * bands));
        Assert.Equal(isMixed, FrameMixing.Of(Matrix, plane, Lossless) is not null);
    }

    [Fact]
    public void A_tone_rounded_to_whole_codes_is_none()
    {
        float[] plane = Noise(0, false);
        for (int i = 0; i < plane.Length; i++) plane[i] = MathF.Round(4 * MathF.Sin(i / Rows * 1.9f + i % Rows * 0.11f) + 0.2f * plane[i]) - 4 * MathF.Sin(i / Rows * 1.9f + i % Rows * 0.11f);
        Assert.Null(FrameMixing.Of(Matrix, plane, Lossless));
    }

    [Fact]
    public void Levels_that_climb_in_whole_codes_are_none()
    {
        var plane = new float[Frames * Rows];
        for (int i = 0; i < plane.Length; i++) plane[i] = MathF.Round(i / Rows * 0.04f + i % Rows * 0.37f) - (i / Rows * 0.04f + i % Rows * 0.37f);
        Assert.Null(FrameMixing.Of(Matrix, plane, Lossless));
    }
}
