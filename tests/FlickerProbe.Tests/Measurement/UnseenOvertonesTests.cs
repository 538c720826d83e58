using FlickerProbe.Measurement;
using Complex = System.Numerics.Complex;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Bands that hardly move, with an overtone that is left out of the fit.</summary>
public class UnseenOvertonesTests
{
    private const double Amplitude = 0.1, Share = 0.08; // of either part of the overtone's amplitude
    private const double NobodyLooked = 1e6; // deviations that the overtone would have to have to be seen
    private const double Searched = 6; // as the search asks for: a power of 17 to 19 times the noise
    private const int Ticks = 64, Lines = 48, Takes = 80;

    /// <summary>Takes of bands with an overtone of any phase: by how many of its deviations each amplitude is off, with what was left out counted and without.</summary>
    private static List<(double With, double Without, double Counted)> Errors(double cycles, double bands, double statedDeviations)
    {
        var normal = new NormalNoise(5);
        var errors = new List<(double, double, double)>();
        for (int take = 0; take < Takes; take++)
        {
            double phase = normal.Between(0, 2 * Math.PI), x = cycles / Ticks, nu = bands / Lines;
            var overtone = new Complex(Share * Amplitude * normal.Next(), Share * Amplitude * normal.Next());
            LightMatrix matrix = Planes.Of(Ticks, Lines, (n, r) =>
            {
                double turn = 2 * Math.PI * (x * n + nu * r) + phase;
                return 1 + Amplitude * Math.Cos(turn) + (overtone * Complex.FromPolarCoordinates(1, 2 * turn)).Real + 0.001 * normal.Next();
            });
            ToneFit alone = ToneFit.Of(matrix, LineWeights.Even(Lines), [new PlaneTone(x, nu, Complex.Zero)], 0, 40);
            var left = new PlaneTone(2 * alone.Tones[0].X, 2 * alone.Tones[0].Nu, Complex.Zero) { TiedTo = 0, Multiple = 2 };
            PlaneTone tone = alone.Beside([(left, Share * Amplitude)], statedDeviations).Tones[0];
            double off = Math.Abs(tone.Amplitude - Amplitude);
            errors.Add((off / double.Hypot(tone.AmplitudeDeviation, tone.OvertoneDeviation), off / tone.AmplitudeDeviation, tone.OvertoneDeviation));
        }
        return errors;
    }

    [Theory]
    [InlineData(0.3, 0.5)]
    [InlineData(0.4, 0.6)]
    [InlineData(0.5, 0.5)]
    public void What_was_left_out_is_in_the_deviation_of_bands_that_hardly_move(double cycles, double bands)
    {
        List<(double With, double Without, double Counted)> errors = Errors(cycles, bands, NobodyLooked);
        // Of a normal 95 % lie within 1.96 deviations; of so many takes 88 % or more but once in fifty.
        Assert.InRange(errors.Count(e => e.With < 1.96), 0.88 * Takes, Takes);
        Assert.True(errors.Count(e => e.Without < 1.96) < 0.6 * Takes);
    }

    /// <summary>A tone that a shutter hides has a place and no strength: its overtones have none either, and bend nothing.</summary>
    [Fact]
    public void Overtones_of_nothing_add_no_doubt()
    {
        LightMatrix matrix = Planes.Of(Ticks, Lines, (n, r) => 1 + Amplitude * Math.Cos(2 * Math.PI * (0.4 * n / Ticks + 0.6 * r / Lines)) + 0.001 * Math.Sin(7.1 * n * n + 3.3 * r));
        var hidden = new PlaneTone(0.8 / Ticks, 3.0 / Lines, Complex.Zero) { IsUnseen = true };
        ToneFit fit = ToneFit.Of(matrix, LineWeights.Even(Lines), [new PlaneTone(0.4 / Ticks, 0.6 / Lines, Complex.Zero), hidden], 0, 8);
        var overtone = new PlaneTone(2 * hidden.X, 2 * hidden.Nu, Complex.Zero) { TiedTo = 1, Multiple = 2 };
        ToneFit beside = fit.Beside([(overtone, 0)], Searched);
        Assert.All(beside.Tones, t => Assert.Equal(0, t.OvertoneDeviation, 12));
        Assert.Equal(fit.Tones[0].XDeviation, beside.Tones[0].XDeviation, 12);
    }

    [Theory]
    [InlineData(1.5, 2)]
    [InlineData(0.3, 4)]
    [InlineData(2.5, 0.6)]
    public void Bands_that_move_or_are_many_are_told_from_their_overtones(double cycles, double bands) =>
        Assert.All(Errors(cycles, bands, Searched), e => Assert.InRange(e.Counted, 0, 0.02 * Amplitude));
}
