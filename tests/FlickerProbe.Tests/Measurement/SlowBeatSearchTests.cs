using System.Numerics;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Bands that hardly move: found where they are, not found where there is only noise (measurement model, trap 2).</summary>
public class SlowBeatSearchTests
{
    private const int Frames = 125, Rows = 96;

    private static LightMatrix Bands(double cycles, double bands, double amplitude, double noise, int seed, int[]? missing = null)
    {
        var normal = new NormalNoise(seed);
        return Planes.Of(Frames, Rows, (n, r) =>
            (1 + 0.5 * r / Rows) * (1 + amplitude * Math.Cos(2 * Math.PI * (cycles * n / Frames + bands * r / Rows) + seed) + noise * normal.Next()), missing);
    }

    public static TheoryData<double, double> Beats => new() { { 0.3, 1.9 }, { -0.49, 1.92 }, { 0.6, 3.8 }, { 1, 1.5 }, { -1.7, 7.3 }, { 2.6, 2.4 } };

    [Theory]
    [MemberData(nameof(Beats))]
    public void A_start_lies_near_and_its_fit_is_the_truth(double cycles, double bands)
    {
        LightMatrix matrix = Bands(cycles, bands, 0.08, 0.002, 1, missing: [40, 41]);
        double[] weights = LineWeights.Even(Rows);

        List<PlaneTone> starts = SlowBeatSearch.Find(matrix, matrix.Relative, weights, []);

        Assert.NotEmpty(starts);
        ToneFit[] fits = [.. starts.Select(s => ToneFit.Of(matrix, weights, [s], 0, 12))];
        PlaneTone best = fits.MinBy(f => f.Sigma)!.Tones[0];
        double sign = best.Nu < 0 ? -1 : 1;
        Assert.Equal(cycles, sign * best.X * Frames, 0.05);
        Assert.Equal(bands, sign * best.Nu * Rows, 0.05);
        Assert.Equal(0.08, best.Amplitude, 0.03 * 0.08);
    }

    [Theory]
    [InlineData(0.6, 1.92)]
    [InlineData(-1.7, 7.3)]
    public void The_amplitude_it_guesses_is_of_the_right_size(double cycles, double bands)
    {
        LightMatrix matrix = Bands(cycles, bands, 0.08, 0.002, 2);
        Assert.InRange(SlowBeatSearch.Find(matrix, matrix.Relative, LineWeights.Even(Rows), [])[0].SearchAmplitude, 0.04, 0.16);
    }

    [Fact]
    public void White_noise_holds_none()
    {
        int found = 0;
        for (int seed = 0; seed < 40; seed++)
        {
            LightMatrix matrix = Bands(0, 0, 0, 0.003, 100 + seed);
            found += SlowBeatSearch.Find(matrix, matrix.Relative, LineWeights.Even(Rows), []).Count > 0 ? 1 : 0;
        }
        // False alarms are set at one in a thousand; two among forty would say that they are not.
        Assert.InRange(found, 0, 1);
    }

    [Fact]
    public void A_level_that_wanders_alike_on_all_rows_holds_none()
    {
        var normal = new NormalNoise(3);
        LightMatrix matrix = Planes.Of(Frames, Rows, (n, _) => 1 + 0.2 * Math.Sin(2 * Math.PI * 0.7 * n / Frames) + 0.002 * normal.Next());
        // The fit that goes before takes the drift out; what is left is what the search is given.
        ToneFit fit = ToneFit.Of(matrix, LineWeights.Even(Rows), [], 6, 1);
        Assert.Empty(SlowBeatSearch.Find(matrix, fit.Residual, LineWeights.Even(Rows), []));
    }

    [Fact]
    public void A_beat_already_known_is_not_found_twice()
    {
        LightMatrix matrix = Bands(0.6, 1.92, 0.08, 0.002, 4);
        ToneFit fit = ToneFit.Of(matrix, LineWeights.Even(Rows), [new PlaneTone(0.6 / Frames, 1.92 / Rows, Complex.Zero)], 0, 12);
        Assert.NotEmpty(SlowBeatSearch.Find(matrix, matrix.Relative, LineWeights.Even(Rows), []));
        Assert.Empty(SlowBeatSearch.Find(matrix, fit.Residual, LineWeights.Even(Rows), fit.Tones));
    }
}
