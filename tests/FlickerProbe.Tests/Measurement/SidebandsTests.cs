using System.Numerics;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>A dimmer's pulses over ripple that hardly moves: sums and differences within a cell of each other are told apart by their places.</summary>
public class SidebandsTests
{
    private const int Frames = 120, Rows = 240;

    // Ripple of 120.02 Hz and pulses of 1000 Hz at 24 frames a second, 8.6 ms from top to bottom.
    private const double RippleX = 0.02 / 24, PulseX = 16.0 / 24 - 1, BandsPerHertz = 0.0086 / Rows;

    private static readonly CompressionLoss Lossless = new(0, 0, 0, 0, 0, 0.01);

    private static double[] Expected => [.. Enumerable.Range(-2, 5).Select(m => PulseX + m * RippleX)];

    private static LightMatrix Product(double ripple, double pulses, int seed)
    {
        var normal = new NormalNoise(seed);
        return Planes.Of(Frames, Rows, (n, r) =>
        {
            double slow = 2 * Math.PI * (RippleX * n + 120.02 * BandsPerHertz * r), fast = 2 * Math.PI * (PulseX * n + 1000 * BandsPerHertz * r);
            return (1 + ripple * Math.Cos(slow)) * (1 + pulses * Math.Cos(fast)) + 0.005 * normal.Next();
        });
    }

    [Fact]
    public void Sums_and_differences_are_found_at_their_places()
    {
        LightMatrix matrix = Product(0.5, 0.06, 3);
        ToneModel model = ToneModel.Build(matrix, FirstLook.At(matrix), Lossless, null, CancellationToken.None);
        // (1 + a cos s)(1 + b cos f): the tone with b, its two neighbours with ab/2 each.
        foreach ((int m, double amplitude) in new[] { (-1, 0.015), (0, 0.06), (1, 0.015) })
        {
            PlaneTone? tone = model.Fit.Tones.Where(t => Math.Abs(ToneSearch.Wrap(t.X * Math.Sign(t.Nu) - PulseX - m * RippleX)) * Frames < 0.05
                && Math.Abs(Math.Abs(t.Nu) - (1000 + m * 120.02) * BandsPerHertz) * Rows < 0.1).MaxBy(t => t.Amplitude);
            Assert.True(tone is not null, $"nothing at {m} times the ripple");
            Assert.Equal(amplitude, tone.Amplitude, 0.0015);
        }
        // Both are named sums of two rates, so the light's waveform has two phases and not four.
        Assert.Equal(2, model.Grouping.Groups.Count(g => g.Members.Exists(t => model.Fit.Tones[t.Tone].Amplitude > 0.01)));
    }

    [Theory] // Ripple of 15 %, whose sums and differences are 7.5 % of the tone: they change the rows less than noise does, and stand far above any limit.
    [InlineData(0.02)]
    [InlineData(0.06)]
    [InlineData(0.16)]
    public void Sums_with_ripple_that_is_not_strong_are_found_too(double beatHz)
    {
        const double Ripple = 0.15, Carrier = 0.06;
        double x = beatHz / 24;
        for (int seed = 1; seed <= 4; seed++)
        {
            var normal = new NormalNoise(seed);
            LightMatrix matrix = Planes.Of(Frames, Rows, (n, r) =>
            {
                double slow = 2 * Math.PI * (x * n + 120.02 * BandsPerHertz * r) + seed, fast = 2 * Math.PI * (PulseX * n + 1000 * BandsPerHertz * r);
                return (1 + Ripple * Math.Cos(slow)) * (1 + Carrier * Math.Cos(fast)) + 0.005 * normal.Next();
            });
            ToneModel model = ToneModel.Build(matrix, FirstLook.At(matrix), Lossless, null, CancellationToken.None);
            foreach (int m in new[] { -1, 1 })
            {
                PlaneTone? sum = model.Fit.Tones.Where(t => Math.Abs(ToneSearch.Wrap(t.X * Math.Sign(t.Nu) - PulseX - m * x)) * Frames < 0.1
                    && Math.Abs(Math.Abs(t.Nu) - (1000 + m * 120.02) * BandsPerHertz) * Rows < 0.15).MaxBy(t => t.Amplitude);
                Assert.True(sum is not null, $"seed {seed}: nothing at {m} times the ripple");
                Assert.Equal(Ripple * Carrier / 2, sum.Amplitude, 0.0012);
            }
        }
    }

    [Fact]
    public void A_difference_beside_a_stronger_tone_is_found_where_the_sum_is()
    {
        // At 50 frames a second, 124 rows of a readout of 5.4 ms over 180: 185.05 − 120.52 Hz lies within three cells of the mirrored 185.05 Hz.
        const double X1 = 185.05 / 50, X2 = 120.52 / 50, Nu1 = 185.05 * 0.0054 / 180, Nu2 = 120.52 * 0.0054 / 180;
        var normal = new NormalNoise(6);
        LightMatrix matrix = Planes.Of(290, 124, (n, r) => (1 + 0.6 * Math.Cos(2 * Math.PI * (X1 * n + Nu1 * r))) * (1 + 0.3 * Math.Cos(2 * Math.PI * (X2 * n + Nu2 * r) + 1)) + 0.005 * normal.Next());
        ToneModel model = ToneModel.Build(matrix, FirstLook.At(matrix), Lossless, null, CancellationToken.None);
        PlaneTone? difference = model.Fit.Tones.Where(t => ToneSearch.CellsApart(matrix, t, new PlaneTone(X1 - X2, Nu1 - Nu2, default)) < 0.1).MaxBy(t => t.Amplitude);
        Assert.NotNull(difference);
        Assert.Equal(0.09, difference.Amplitude, 0.002);
        Assert.Equal(4, model.Fit.Tones.Count(t => t.Amplitude > 0.01));
    }

    [Fact]
    public void Two_lights_side_by_side_stay_two()
    {
        var normal = new NormalNoise(4);
        LightMatrix matrix = Planes.Of(Frames, Rows, (n, r) => 1 + 0.3 * Math.Cos(2 * Math.PI * (RippleX * n + 120.02 * BandsPerHertz * r))
            + 0.06 * Math.Cos(2 * Math.PI * (PulseX * n + 1000 * BandsPerHertz * r)) + 0.005 * normal.Next());
        ToneModel model = ToneModel.Build(matrix, FirstLook.At(matrix), Lossless, null, CancellationToken.None);
        Assert.DoesNotContain(model.Fit.Tones, t => t.AlsoTiedTo >= 0);
        Assert.Equal(2, model.Fit.Tones.Count(t => t.Amplitude > 0.005));
    }

    [Theory]
    [InlineData(0.3, true)]
    [InlineData(0.16, true)] // too faint beside the other one for what drift may leave there, were it not otherwise fine
    [InlineData(0, false)]
    public void Lights_whose_beats_lie_within_a_cell_are_told_apart_by_how_fine_their_bands_are(double share, bool isThere)
    {
        // At 23.976 frames a second 182.64 and 62.62 Hz beat 0.7 cycles apart in 116 frames; over a readout of 13 ms they make 2.4 and 0.8 bands.
        const double X1 = 182.6414 / 23.976, X2 = 62.6203 / 23.976, Nu1 = 182.6414 * 0.013 / 180, Nu2 = 62.6203 * 0.013 / 180;
        var normal = new NormalNoise(8);
        LightMatrix matrix = Planes.Of(116, 180, (n, r) => 1 + 0.06 * Math.Cos(2 * Math.PI * (X1 * n + Nu1 * r))
            + share * 0.06 * Math.Cos(2 * Math.PI * (X2 * n + Nu2 * r) + 1) + 0.005 * normal.Next());
        ToneModel model = ToneModel.Build(matrix, FirstLook.At(matrix), Lossless, null, CancellationToken.None);
        Assert.Equal(isThere ? 2 : 1, model.Fit.Tones.Length);
        Assert.Equal(0.06, model.Fit.Tones.Max(t => t.Amplitude), 0.001);
        if (isThere) Assert.Equal(share * 0.06, model.Fit.Tones.Single(t => ToneSearch.CellsApart(matrix, t, new PlaneTone(X2, Nu2, default)) < 0.2).Amplitude, 0.001);
    }

    [Fact]
    public void A_tied_sum_moves_with_both_its_tones()
    {
        LightMatrix matrix = Product(0.5, 0.06, 5);
        double off = 0.2 / Frames;
        ToneFit fit = ToneFit.Of(matrix, LineWeights.Even(Rows),
        [
            new PlaneTone(RippleX, 120.02 * BandsPerHertz, new Complex(0.5, 0)),
            new PlaneTone(PulseX + off, 1000 * BandsPerHertz, Complex.Zero),
            new PlaneTone(PulseX + off + RippleX, 1120.02 * BandsPerHertz, Complex.Zero) { TiedTo = 1, Multiple = 1, AlsoTiedTo = 0, AlsoMultiple = 1 },
            new PlaneTone(PulseX + off - RippleX, 879.98 * BandsPerHertz, Complex.Zero) { TiedTo = 1, Multiple = 1, AlsoTiedTo = 0, AlsoMultiple = -1 },
        ], 0, 12);
        Assert.Equal(PulseX, fit.Tones[1].X, 0.01 / Frames);
        Assert.Equal(fit.Tones[1].X + fit.Tones[0].X, fit.Tones[2].X, 1e-9);
        Assert.Equal(fit.Tones[1].X - fit.Tones[0].X, fit.Tones[3].X, 1e-9);
        Assert.Equal(0.015, fit.Tones[2].Amplitude, 0.0015);
        Assert.Equal(0.015, fit.Tones[3].Amplitude, 0.0015);
    }
}
