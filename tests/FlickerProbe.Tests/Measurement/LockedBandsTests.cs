using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Verdict;
using FrameRate = FlickerProbe.Camera.FrameRate;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Bands that stand still: never less bound than is there, plain where they are plain (measurement model, trap 2).</summary>
public class LockedBandsTests
{
    private static LockedBands.Answer? Bound(SyntheticTake scene)
    {
        SampledTake take = scene.Make();
        LightMatrix matrix = LightMatrix.Build(take, SensorClock.Recover(take.Times, take.Traces.Frames, take.Rate, false, []));
        return StandingProfile.Of(matrix, take.Readout, []) is { } profile ? LockedBands.Bound(profile, matrix, take.Rate, take.Readout, take.Exposure) : null;
    }

    private static double Shading(double t, int strip, double down) => 1 + 0.25 * (down - 0.5) * (strip - 2) - 0.4 * down * down;

    [Theory]
    [InlineData(100, 0.2, true)]
    [InlineData(100, 0.05, true)]
    [InlineData(100, 0.01, false)]
    [InlineData(300, 0.1, true)]
    [InlineData(1000, 0.3, true)]
    [InlineData(1000, 0.02, true)]
    public void What_stands_still_is_never_bound_below_its_size(double hertz, double amplitude, bool evident)
    {
        var scene = new SyntheticTake { Light = Waveform.Sine(hertz, amplitude, 1), Rate = "25", ExposureSeconds = 1 / 4000.0, Scene = Shading, RowNoise = 0.001, Frames = 50 };
        LockedBands.Answer answer = Bound(scene)!.Value;
        double onCamera = amplitude * Math.Abs(ExposureGain.At(hertz, scene.ExposureSeconds));
        Assert.True(answer.Bound >= onCamera, $"bound {answer.Bound} for {onCamera}");
        // 16 ms: 300 Hz makes 4.8 bands, 100 Hz 1.6.
        Assert.Equal(hertz > 250, answer.Fine!.Holds(hertz));
        if (hertz > 250) Assert.True(answer.Fine.Bound >= onCamera, $"bound {answer.Fine.Bound} for {onCamera}");
        if (evident)
        {
            Assert.True(answer.Evident);
            Assert.Equal(hertz * 0.016, answer.Bands, 0.5 + 0.03 * hertz * 0.016);
            Assert.True(answer.Bound < 2.5 * onCamera + 0.01, $"bound {answer.Bound} for {onCamera}");
        }
    }

    [Theory]
    [InlineData(2400, 240, 0.0325, 5000)] // three rows a band
    [InlineData(3600, 240, 0.0325, 8000)] // hardly more than two
    [InlineData(4800, 240, 0.0325, 8000)] // folded: makes more than half a cycle from row to row
    [InlineData(12000, 720, 0.016, 20000)] // more bands than a picture of few rows holds
    public void Fine_bands_that_stand_still_are_never_a_pass(double hertz, int rows, double readout, double reciprocal)
    {
        foreach (double phase in new[] { 0, 0.8, 1.6, 2.4 })
        {
            var scene = new SyntheticTake { Light = Waveform.Sine(hertz, 0.1, phase), Rate = "24", ExposureSeconds = 1 / reciprocal, ReadoutSeconds = readout, Rows = rows, Scene = Shading, RowNoise = 0.001, Frames = 80 };
            double onCamera = 0.1 * Math.Abs(ExposureGain.At(hertz, scene.ExposureSeconds));
            LockedBands.Answer answer = Bound(scene)!.Value;
            Assert.True(answer.Bound >= 0.95 * onCamera, $"bound {answer.Bound} for {onCamera}");
            Assert.NotEqual(Ruling.Pass, Judged.Of(scene).IsHonestAt(FormattableString.Invariant($"24@1/{reciprocal}")).Ruling);
        }
    }

    [Theory] // Lamps that pass one half wave repeat with the mains itself, and short readouts put less than half a band of that into the picture.
    [InlineData("25", 50, 0.006)]
    [InlineData("25", 50, 0.016)]
    [InlineData("25", 50, 0.0045)]
    [InlineData("50", 50, 0.012)]
    [InlineData("30", 60, 0.016)]
    [InlineData("60", 60, 0.006)]
    [InlineData("60", 60, 0.004)]
    public void Half_wave_light_locked_to_the_rate_is_never_a_pass(string rate, double hertz, double readout)
    {
        foreach (double phase in new[] { 0, 0.8, 1.6, 2.4 })
        {
            var scene = new SyntheticTake { Light = Waveform.Sine(hertz, 0.1, phase), Rate = rate, ReadoutSeconds = readout, Scene = Shading, RowNoise = 0.001, Frames = 100 };
            // What of the slow cosine lies in the rows read is what shows.
            double[] seen = [.. Enumerable.Range(0, 97).Select(i => 1 + 0.1 * Math.Cos(2 * Math.PI * hertz * readout * i / 96 + phase))];
            double depth = (seen.Max() - seen.Min()) / (seen.Max() + seen.Min());
            Judged judged = Judged.Of(scene);
            Assert.True(judged.Take.ModulationDepth!.Value.High >= 0.9 * depth, $"at most {judged.Take.ModulationDepth.Value.High} for {depth}");
            Assert.NotEqual(Ruling.Pass, judged.At($"{rate}@1/1000").Ruling);
            Assert.True(judged.Warns(FindingCodes.LockedBands));
        }
    }

    [Theory] // With less than a band in the region nothing shows that a light keeps step: at n/1001 rates that is mains a thousandth low.
    [InlineData("60000/1001", 0.0065, 0.0)]
    [InlineData("60000/1001", 0.007, 0.002)]
    [InlineData("30000/1001", 0.005, 0.0)]
    [InlineData("30000/1001", 0.007, -0.003)]
    [InlineData("24000/1001", 0.0045, 0.001)]
    public void Under_a_band_light_in_step_with_a_rate_of_the_trade_is_never_a_pass(string rate, double readout, double asideHz)
    {
        foreach (double phase in new[] { 0, 0.8, 1.6, 2.4 })
        {
            var scene = new SyntheticTake { Light = Waveform.Sine(120_000 / 1001.0 + asideHz, 0.08, phase), Rate = rate, ReadoutSeconds = readout, Scene = Shading, RowNoise = 0.001, Frames = 150 };
            Judged judged = Judged.Of(scene);
            Assert.NotEqual(Ruling.Pass, judged.IsHonestAt($"{rate}@1/1000").Ruling);
            Assert.True(judged.Warns(FindingCodes.LockedBands));
        }
    }

    [Theory]
    [InlineData("60000/1001")]
    [InlineData("30000/1001")]
    public void A_take_at_another_rate_settles_what_might_keep_step(string rate)
    {
        // Ten seconds, as takes are asked for: shorter ones leave room for fast lights that all but stand at both rates.
        var take = new SyntheticTake { Rate = rate, ReadoutSeconds = 0.0065, Scene = Shading, Frames = rate == "30000/1001" ? 300 : 600 };
        Assert.Equal(Ruling.Watch, Judged.Of(take).At($"{rate}@1/1000").Ruling);
        Assert.Equal(Ruling.Pass, Judged.Of(take, take with { Rate = "25", Frames = 250 }).At($"{rate}@1/1000").Ruling);
        Waveform inStep = Waveform.Sine(120_000 / 1001.0, 0.08);
        Assert.Equal(Ruling.Fail, Judged.Of(take with { Light = inStep }, take with { Rate = "25", Frames = 250, Light = inStep }).At($"{rate}@1/1000").Ruling);
    }

    [Fact] // 119.88 Hz would stand unseen, but not beside mains light that is plainly seen to beat.
    public void Beside_light_that_plainly_moves_none_is_looked_for_in_step_with_a_rate_of_the_trade()
    {
        var take = new SyntheticTake { Rate = "30000/1001", ReadoutSeconds = 0.0065, Scene = Shading, Frames = 300, Light = Waveform.Sine(100, 0.03) };
        Judged judged = Judged.Of(take);
        Assert.Null(judged.Take.LockedBound);
        Assert.InRange(judged.Take.ModulationDepth!.Value.High, 0.029, 0.033);
        // Half a per cent is no plain flicker.
        Assert.NotNull(Judged.Of(take with { Light = Waveform.Sine(100, 0.005) }).Take.LockedBound);
    }

    [Fact] // 64 × 29.97 Hz stands at 29.97 and can't be seen at 25 with 1/640 s, three of which hold 1920 Hz: eight bands, which no shading looks like.
    public void What_would_stand_in_many_bands_is_judged_by_those()
    {
        var take = new SyntheticTake { Rate = "25", ExposureSeconds = 1 / 640.0, ReadoutSeconds = 0.004, Scene = Shading, Frames = 250 };
        SyntheticTake other = take with { Rate = "30000/1001", ExposureSeconds = 1 / 200.0, Frames = 300 };
        Assert.Equal(Ruling.Pass, Judged.Of(take, other).At("25@1/200").Ruling);
        Waveform inStep = Waveform.Sine(64 * 30_000 / 1001.0, 0.6);
        Assert.NotEqual(Ruling.Pass, Judged.Of(take with { Light = inStep }, other with { Light = inStep }).IsHonestAt("25@1/200").Ruling);
    }

    [Fact]
    public void Shading_and_texture_alone_are_no_bands()
    {
        for (int seed = 0; seed < 12; seed++)
        {
            // Each strip has a texture of its own, as walls do.
            var texture = new NormalNoise(seed);
            double[,] grain = new double[6, 96];
            for (int s = 0; s < 6; s++)
            {
                for (int r = 0; r < 96; r++) grain[s, r] = 0.7 * (r > 0 ? grain[s, r - 1] : 0) + 0.01 * texture.Next();
            }
            LockedBands.Answer answer = Bound(new SyntheticTake { Frames = 20, Seed = seed, Scene = (t, s, y) => Shading(t, s, y) * (1 + grain[s, (int)Math.Round(y * 96)]) })!.Value;
            Assert.False(answer.Evident);
            Assert.InRange(answer.Bound, 0, 0.06);
        }
    }

    [Fact]
    public void Light_that_moves_is_no_standing_band()
    {
        // 120 Hz at 25 frames/s: a whole number of beats in the clip, so nothing of it stays in the lines' means.
        LockedBands.Answer answer = Bound(new SyntheticTake { Light = Waveform.Sine(120, 0.3), Scene = Shading, Frames = 125 })!.Value;
        Assert.False(answer.Evident);
        Assert.InRange(answer.Bound, 0, 0.03);
    }

    [Fact]
    public void The_shutter_limits_what_any_locked_light_can_show()
    {
        // 1/25 s averages every multiple of 25 Hz away; only the shutter's own tolerance is left: 1.96 · 0.5 % · 2.
        LockedBands.Answer answer = Bound(new SyntheticTake { Light = Waveform.Sine(100, 0.5), ExposureSeconds = 1 / 25.0, Scene = Shading, Frames = 30 })!.Value;
        Assert.InRange(answer.Bound, 0, 0.0201);
    }

    [Fact]
    public void A_global_shutter_or_a_few_rows_say_nothing()
    {
        Assert.Null(Bound(new SyntheticTake { ReadoutSeconds = 0, Frames = 10 }));
        Assert.Null(Bound(new SyntheticTake { Rows = 20, Frames = 10 }));
    }

    [Theory]
    [InlineData("25")]
    [InlineData("30000/1001")] // Pulses of 203.8028 Hz at 1/2000 s: every fifth frame falls on the same part of the period, and a gap fits between. Seen to pass at a depth of 19 %.
    [InlineData("60000/1001")]
    public void A_global_shutter_can_t_exclude_a_locked_light_at_any_rate(string rate)
    {
        SampledTake take = new SyntheticTake { ReadoutSeconds = 0, Frames = 10, Rate = rate, ExposureSeconds = 1 / 2000.0 }.Make();
        Assert.Equal(1.0, LockedFinding.BoundThatMatters(null, take, 0.001, 0));
    }

    [Fact]
    public void What_a_global_shutter_averages_out_can_t_stand()
    {
        // 1/25 s at 25 frames a second averages all that locks; its own tolerance of 0.5 % is left: 1.96 · 0.5 % · 2.
        SampledTake take = new SyntheticTake { ReadoutSeconds = 0, Frames = 10, Rate = "25", ExposureSeconds = 1 / 25.0 }.Make();
        Assert.Equal(0.0196, LockedFinding.BoundThatMatters(null, take, 0.001, 0)!.Value, 4);
        Assert.Null(LockedFinding.BoundThatMatters(null, take, 0.02, 0));
    }

    [Theory]
    [InlineData(400.0)] // at 60 frames a second every third frame sees the same moment
    [InlineData(203.8028)] // at 29.97 every fifth
    public void What_a_few_moments_do_not_show_stays_open(double hertz)
    {
        string rate = hertz == 400 ? "60" : "30000/1001";
        var scene = new SyntheticTake
        {
            Light = new PulseLight { FrequencyHz = hertz, Duty = 0.7, Low = 0.8, PhaseCycles = 0.13 }, ReadoutSeconds = 0, Rate = rate, ExposureSeconds = 1 / 2000.0, Frames = 150,
        };
        Judged judged = Judged.Of(scene);
        Assert.True(judged.Take.ModulationDepth!.Value.Holds(scene.TrueDepth(scene.ExposureSeconds)), $"{judged.Take.ModulationDepth}");
        Assert.NotEqual(FlickerProbe.Verdict.Ruling.Pass, judged.At(rate == "60" ? "60@1/2000@global" : "29.97@1/2000@global").Ruling);
    }
}
