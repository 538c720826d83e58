using FlickerProbe.Camera;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Bands that all but stand still: their motion tells only the product of strength and pace, the rows' time means tell the strength (trap 2).</summary>
public class StandingProfileTests
{
    /// <summary>100.0086 Hz at 25 for under seven seconds: a seventeenth of a cycle.</summary>
    private static readonly SyntheticTake Slow = new()
    {
        Light = Waveform.Sine(100.0086, 0.4, 0.4), Rate = "25", ExposureSeconds = 1 / 250.0, ReadoutSeconds = 0.016, Frames = 169, RowNoise = 0.0005,
    };

    private static double Shading(double t, int strip, double down) => 1 + 0.3 * (down - 0.5) * (strip - 2) / 3 - 0.2 * down * down;

    [Theory]
    [InlineData(100.0086, 0.4)]
    [InlineData(99.9935, 0.2)]
    [InlineData(400.012, 0.7)]
    public void What_the_means_hold_makes_a_beat_of_a_few_hundredths_of_a_cycle_known(double hertz, double amplitude)
    {
        SyntheticTake scene = Slow with { Light = Waveform.Sine(hertz, amplitude, 0.4), Scene = Shading };
        Estimate depth = Judged.Of(scene).Take.ModulationDepth!.Value;
        double truth = scene.TrueDepth(scene.ExposureSeconds);
        Assert.True(depth.Holds(truth), $"{depth} for {truth}");
        Assert.True(depth.High - depth.Low < 0.15 * truth, $"{depth} for {truth}");
    }

    // Blinds or shelves in the picture look like bands that stand still; how much of the light is in them nothing tells.
    [Fact]
    public void Bars_in_the_picture_leave_its_strength_open()
    {
        SyntheticTake scene = Slow with { Scene = (t, strip, down) => 1 + 0.25 * Math.Cos(2 * Math.PI * 1.7 * down + 2) };
        Estimate depth = Judged.Of(scene).Take.ModulationDepth!.Value;
        double truth = scene.TrueDepth(scene.ExposureSeconds);
        Assert.True(depth.Holds(truth) && depth.High - truth > 0.1, $"{depth} for {truth}");
    }

    [Fact]
    public void Bands_that_are_left_out_of_the_means_are_what_is_left()
    {
        // A standing cosine of 0.1 over two and a half bands, of which the tones explain 0.08.
        LightMatrix matrix = Planes.Of(60, 120, (_, r) => 1 + 0.1 * Math.Cos(2 * Math.PI * 2.5 * r / 120));
        double[] explained = [.. Enumerable.Range(0, 120).Select(r => 0.08 * Math.Cos(2 * Math.PI * 2.5 * r / 120))];
        StandingProfile all = StandingProfile.Of(matrix, null, [])!, rest = StandingProfile.Of(matrix, null, [explained])!;
        Assert.Equal(0.1, all.CommonCosine(2.5 / 120).Amplitude, 0.004);
        Assert.Equal(0.02, rest.CommonCosine(2.5 / 120).Amplitude, 0.002);

        double left = rest.MostLeftOf(new PlaneTone(0.0005, 2.5 / 120, 0.08), matrix)!.Value;
        Assert.InRange(left, 0.02, 0.03);
        Assert.Equal(left, rest.MostLeftOf(new PlaneTone(-0.0005, -2.5 / 120, 0.08), matrix)!.Value, 12);
        Assert.Null(rest.MostLeftOf(new PlaneTone(0.0005, 0.7 / 120, 0.08), matrix));
        Assert.Null(StandingProfile.Of(Planes.Of(60, 20, (_, _) => 1), null, []));
    }

    [Theory] // Lights near twice the mains with a level that drifts by under two per cent, as exposure does: seen to be stated as a light of half the rate, many times as strong.
    [InlineData("50", 99.965, 0.0067, 0.022, 0.016, 7.1)]
    [InlineData("60", 119.94, 0.008, 0.0165, -0.016, 4.7)]
    [InlineData("30", 119.93, 0.03, 0.024, -0.019, 7.6)]
    [InlineData("30000/1001", 119.95, 0.002, 0.0245, 0.01, 7)]
    public void Drift_beside_a_slow_beat_is_not_a_strong_light_of_half_the_rate(string rate, double hertz, double amplitude, double readout, double drift, double seconds)
    {
        double fps = FrameRate.Parse(rate).Hertz;
        var scene = new SyntheticTake
        {
            Light = Waveform.Tones((hertz, amplitude, 1), (2 * hertz, 0.05 * amplitude, 2)), Rate = rate, ExposureSeconds = 1 / 1000.0, ReadoutSeconds = Math.Min(readout, 0.95 / fps),
            Rows = 96, CodedHeight = 192, FirstRow = 48, Frames = (int)(seconds * fps), RowNoise = 0.0007, Gain = t => 1 + drift * t / seconds,
        };
        Judged judged = Judged.Of(scene);
        Estimate depth = judged.Take.ModulationDepth!.Value;
        double truth = scene.TrueDepth(scene.ExposureSeconds);
        Assert.True(depth.Holds(truth), $"{depth} for {truth}");
        Assert.True(depth.Value < 1.5 * truth + 0.001, $"{depth} for {truth}");
    }

    [Fact]
    public void A_light_that_does_repeat_at_half_the_rate_keeps_its_name()
    {
        // Half waves apart: as strong as the ripple, with more than a band in the region and no drift.
        var scene = new SyntheticTake
        {
            Light = Waveform.Tones((50.02, 0.08, 1), (100.04, 0.1, 2)), Rate = "25", ExposureSeconds = 1 / 1000.0, ReadoutSeconds = 0.03, Frames = 175, RowNoise = 0.0005, Gain = t => 1 + 0.001 * t,
        };
        Judged judged = Judged.Of(scene);
        Assert.True(judged.Take.ModulationDepth!.Value.Holds(scene.TrueDepth(scene.ExposureSeconds)), $"{judged.Take.ModulationDepth}");
        Tone half = judged.Take.Tones.MinBy(t => Math.Abs(t.AliasHz.Value))!;
        Assert.Equal(1, half.HarmonicNumber);
        Assert.Equal(0.02, half.AliasHz.Value, 0.002);
    }
}
