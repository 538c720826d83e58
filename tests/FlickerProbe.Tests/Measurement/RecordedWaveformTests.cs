using System.Numerics;
using FlickerProbe.Measurement;
using FlickerProbe.Tests.References;
using static FlickerProbe.Measurement.RecordedWaveform;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Depth: Illuminating Engineering Society, definition 5.9.9.2; flicker index: IEV 845-22-094. Closed forms recomputed independently.</summary>
public class RecordedWaveformTests
{
    private static List<Term> Series(string wave, int overtones, double deviation = 0) =>
        [.. Enumerable.Range(1, overtones).Select(m => new Term(Complex.FromPolarCoordinates(SeriesOf.Of(wave, m), SeriesOf.Phase(wave, m)), m, 0, deviation))];

    [Theory] // A sine of depth m has the flicker index m/π.
    [InlineData(1)]
    [InlineData(0.5)]
    [InlineData(0.1)]
    [InlineData(0.01)]
    public void A_sine_has_its_amplitude_as_depth(double amplitude)
    {
        Shape shape = Of([new Term(Complex.FromPolarCoordinates(amplitude, 0.7), 1, 0, 0)], []);
        Assert.Equal(amplitude, shape.Depth, 1e-4 * amplitude);
        Assert.Equal(amplitude / Math.PI, shape.FlickerIndex, 1e-4 * amplitude);
    }

    [Theory]
    [InlineData("rectified", 60, 1, 0.210514, 0.02)]
    [InlineData("square", 199, 1, 0.5, 0.005)]
    [InlineData("pulse25", 200, 1, 0.75, 0.005)]
    public void The_classic_series_have_their_published_figures(string wave, int overtones, double depth, double index, double tolerance)
    {
        Shape shape = Of(Series(wave, overtones), []);
        Assert.Equal(depth, shape.Depth, tolerance);
        Assert.Equal(index, shape.FlickerIndex, 0.005);
    }

    [Fact]
    public void Two_rates_reach_every_pair_of_phases()
    {
        // (1 + 0.2 cos u)(1 + 0.3 cos v) = 1 + 0.2 cos u + 0.3 cos v + 0.03 cos(u+v) + 0.03 cos(u−v): greatest 1.2·1.3, least 0.8·0.7.
        Shape shape = Of([new Term(0.2, 1, 0, 0), new Term(0.3, 0, 1, 0), new Term(0.03, 1, 1, 0), new Term(0.03, 1, -1, 0)], []);
        Assert.Equal((1.2 * 1.3 - 0.8 * 0.7) / (1.2 * 1.3 + 0.8 * 0.7), shape.Depth, 1e-6);
        Assert.Equal(1.56 - 1, shape.Highest, 1e-6);
        Assert.Equal(0.56 - 1, shape.Lowest, 1e-6);
    }

    [Fact]
    public void Further_groups_add_their_extremes()
    {
        Shape shape = Of([new Term(0.2, 1, 0, 0)], [[new Term(0.1, 1, 0, 0)], [new Term(Complex.ImaginaryOne * 0.05, 1, 0, 0)]]);
        Assert.Equal(0.35, shape.Depth, 1e-4);
    }

    [Fact]
    public void Light_is_never_negative_and_nothing_is_no_flicker()
    {
        Assert.Equal(1, Of([new Term(1.4, 1, 0, 0)], []).Depth, 1e-6);
        Assert.Equal(0, Of([], []).Depth);
        Assert.Equal(0, Of([], []).FlickerIndex);
    }

    private static double SpreadOverStated(IReadOnlyList<Term> terms)
    {
        const int Trials = 300; // gives the spread to 4 %
        var normal = new NormalNoise(8);
        double[] depths = [.. Enumerable.Range(0, Trials).Select(_ =>
            Of([.. terms.Select(t => t with { Z = t.Z + t.Deviation * new Complex(normal.Next(), normal.Next()) })], []).Depth)];
        double mean = depths.Average();
        return Math.Sqrt(depths.Average(d => (d - mean) * (d - mean))) / Of(terms, []).DepthDeviation;
    }

    [Fact]
    public void The_deviation_is_that_of_simulated_noise() => Assert.InRange(
        SpreadOverStated([new Term(0.1, 1, 0, 0.0005), new Term(Complex.FromPolarCoordinates(0.03, 0.5), 2, 0, 0.0005), new Term(Complex.FromPolarCoordinates(0.01, 1), 3, 0, 0.0003)]),
        0.88, 1.12);

    [Fact]
    public void Where_two_tops_are_alike_the_deviation_errs_on_the_wide_side() =>
        // The larger of two like normal numbers spreads by √(1 − 1/π) = 0.826 of one (Clark, Oper. Res. 9, 1961).
        Assert.InRange(SpreadOverStated([.. Series("square", 3, 0.0005).Where(t => t.A != 2).Select(t => t with { Z = 0.1 * t.Z })]), 0.826 * 0.88, 1.05);

    [Fact]
    public void One_period_is_the_sum_of_its_cosines()
    {
        List<Term> terms = Series("pulse25", 6);
        double[] wave = OnePeriod(terms, 50);
        for (int i = 0; i < 50; i++)
            Assert.Equal(1 + Enumerable.Range(1, 6).Sum(m => 2 * Math.Sin(Math.PI * m * 0.25) / (Math.PI * m * 0.25) * Math.Cos(2 * Math.PI * m * i / 50.0)), wave[i], 1e-9);
    }
}
