using FlickerProbe.Footage;
using FlickerProbe.Light;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

public class LevelAndTraitsTests
{
    private static readonly SignalScale Limited8 = new(SignalRange.Limited, 8);
    private static readonly SignalScale Full8 = new(SignalRange.Full, 8);

    [Fact]
    public void Mean_peak_clipped_and_dark_are_shares_of_the_scale()
    {
        SignalLevel level = LevelOf(Limited8, [.. Enumerable.Repeat((byte)16, 100), .. Enumerable.Repeat((byte)126, 800), .. Enumerable.Repeat((byte)235, 100)]);
        Assert.Equal((0 * 100 + 800 * 110 / 219.0 + 100) / 1000, level.Mean, 1e-9);
        Assert.Equal(1, level.Peak);
        Assert.Equal(0.1, level.Clipped);
        Assert.Equal(0.1, level.Dark);
    }

    [Fact]
    public void Peak_is_the_level_that_one_in_a_thousand_exceeds()
    {
        byte[] codes = [.. Enumerable.Repeat((byte)100, 9985), .. Enumerable.Repeat((byte)150, 11), .. Enumerable.Repeat((byte)200, 4)];
        Assert.Equal((150 - 16) / 219.0, LevelOf(Limited8, codes).Peak, 1e-12);
    }

    [Theory]
    [InlineData(235), InlineData(250)]
    public void A_ceiling_below_nominal_white_is_noticed(int ceiling)
    {
        // Shaded and noisy light, of which the brightest fifth hits the camera's ceiling; compression spreads it by a code.
        var random = new Random(3);
        byte[] codes = new byte[200_000];
        for (int n = 0; n < codes.Length; n++)
        {
            double light = 120 + 165.0 * n / codes.Length + 2 * Gauss(random);
            codes[n] = (byte)Math.Min(ceiling, Math.Round(light) >= ceiling ? ceiling - random.Next(2) : light);
        }
        Assert.InRange(LevelOf(Full8, codes).Clipped, 0.12, 0.35);
    }

    [Fact]
    public void A_bright_even_card_a_gentle_gradient_and_a_bright_sine_are_not_called_clipped()
    {
        var random = new Random(4);
        byte[] card = [.. Enumerable.Range(0, 100_000).Select(_ => (byte)Math.Round(228 + 1.5 * Gauss(random)))];
        byte[] flat = [.. Enumerable.Repeat((byte)230, 10_000)];
        byte[] gradient = [.. Enumerable.Range(0, 100_000).Select(n => (byte)(180 + n * 60 / 100_000))];
        byte[] sine = [.. Enumerable.Range(0, 100_000).Select(n => (byte)Math.Round(200 + 40 * Math.Sin(n * 0.001)))];
        foreach (byte[] codes in new[] { card, flat, gradient, sine }) Assert.Equal(0, LevelOf(Full8, codes).Clipped);
    }

    [Theory]
    [InlineData(8, 1.4), InlineData(10, 1.4), InlineData(8, 3.0)]
    public void Noise_is_measured_in_eight_bit_codes_and_flicker_does_not_count(int depth, double noise)
    {
        var random = new Random(5);
        var change = new FrameChange(depth);
        int scale = 1 << (depth - 8);
        ushort[][] before = new ushort[8][];
        for (int frame = 0; frame < 12; frame++)
        {
            // 30 % flicker over a row shaded one to two.
            double flicker = 1 + 0.3 * Math.Cos(frame * 1.7);
            for (int row = 0; row < 8; row++)
            {
                ushort[] now = [.. Enumerable.Range(0, 640).Select(x => (ushort)Math.Round(scale * (60 * flicker * (1 + x / 640.0) + noise * Gauss(random))))];
                if (frame > 0) AddRow(change, depth, now, before[row]);
                before[row] = now;
            }
            change.EndFrame();
        }
        // Rounding to a code adds 1/12 of its square.
        double expected = Math.Sqrt(noise * noise + 1.0 / 12 / scale / scale);
        Assert.Equal(1, change.NoiseCodes()!.Value / expected, 0.04);
        Assert.InRange(change.UnchangedShare()!.Value, 1e-6, 0.3);
    }

    [Fact]
    public void A_frame_shown_twice_does_not_count_as_flattened_but_a_flattened_clip_does()
    {
        byte[] a = [.. Enumerable.Range(0, 64).Select(n => (byte)n)], b = [.. a.Select((code, n) => (byte)(n % 4 == 0 ? code : code + 3))];
        var doubled = new FrameChange(8);
        byte[][] frames = [a, a, b, b, a, a, b];
        for (int n = 0; n < frames.Length; n++)
        {
            if (n > 0) doubled.AddRow(frames[n], frames[n - 1]);
            doubled.EndFrame();
        }
        Assert.Equal(0.25, doubled.UnchangedShare());
        Assert.Equal([float.NaN, 1f, 0.25f, 1f, 0.25f, 1f, 0.25f], doubled.UnchangedByFrame());

        var still = new FrameChange(8);
        for (int n = 0; n < 5; n++)
        {
            if (n > 0) still.AddRow(a, a);
            still.EndFrame();
        }
        Assert.Equal(1, still.UnchangedShare());
        Assert.Equal(0, still.NoiseCodes());
    }

    [Theory]
    [InlineData(8, 64), InlineData(8, 83), InlineData(10, 83), InlineData(12, 48), InlineData(16, 83)]
    public void Change_of_codes_from_end_to_end_of_the_scale_is_that_of_the_plain_loop(int depth, int width)
    {
        var random = new Random(depth + width);
        int largest = (1 << depth) - 1;
        // Both ends of the scale against one another, equal codes, and anything.
        ushort[] before = [.. Enumerable.Range(0, width).Select(x => (ushort)(x < 16 ? 0 : x % 5 == 0 ? 7 : random.Next(largest + 1)))];
        ushort[] now = [.. Enumerable.Range(0, width).Select(x => (ushort)(x < 15 ? largest : x % 5 == 0 ? 7 : random.Next(largest + 1)))];
        var change = new FrameChange(depth);
        change.EndFrame();
        AddRow(change, depth, now, before);
        change.EndFrame();

        double[] differences = [.. now.Zip(before, (a, b) => (double)a - b)];
        double[][] blocks = [.. differences.Chunk(16).Where(block => block.Length == 16)];
        double variance = blocks.Average(block => block.Sum(d => d * d) / 15 - block.Sum() * block.Sum() / 16 / 15);
        Assert.Equal(Math.Sqrt(variance / 2) / (1 << (depth - 8)), change.NoiseCodes()!.Value, 1e-4);
        Assert.Equal(differences.Count(d => d == 0) / (double)width, change.UnchangedShare()!.Value, 1e-6);
    }

    [Fact]
    public void One_frame_says_nothing_of_change()
    {
        var change = new FrameChange(8);
        change.EndFrame();
        Assert.Null(change.UnchangedShare());
        Assert.Null(change.NoiseCodes());
    }

    private static void AddRow(FrameChange change, int depth, ushort[] now, ushort[] before)
    {
        if (depth == 8) change.AddRow(now.Select(code => (byte)code).ToArray(), before.Select(code => (byte)code).ToArray());
        else change.AddRow(now, before);
    }

    private static SignalLevel LevelOf(SignalScale scale, byte[] codes)
    {
        var histogram = new LevelHistogram(scale);
        histogram.Add(codes);
        return histogram.ToLevel();
    }

    private static double Gauss(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
