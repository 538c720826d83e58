using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Traps of the measurement model, 4 to 7: compression, clipping and darkness, other light, automatic exposure.</summary>
public class Traps4to7Tests
{
    private static readonly SyntheticTake Steady = new() { ExposureSeconds = 1 / 250.0, Rate = "30000/1001", Frames = 150, OtherLight = 0 };

    private static TakeMeasurement Measure(SampledTake take) => TakeEstimator.Measure(take, new EstimatorOptions(WithExhibit: false), CancellationToken.None);

    [Theory] // Measured on one 8-bit H.264 clip of 1.2 % on camera: at CRF 20 (0.91 unchanged) a tenth of it came back, at CRF 24 a hundredth.
    [InlineData(0.91, 0.03)]
    [InlineData(1.00, 0.01)]
    public void Trap_4_compression(double unchanged, double bitsPerPixel)
    {
        // What the encoder leaves: nothing moves, although the light had 1.2 %.
        SampledTake take = Steady.Make() with { Traits = new RecordingTraits(unchanged, 0.3, bitsPerPixel, 0.017, "h264", false) };
        TakeMeasurement crushed = Measure(take);
        TakeMeasurement clean = Measure(Steady.Make());

        Assert.Contains(crushed.Findings, f => f.Code == FindingCodes.CrushedRecording);
        Assert.True(crushed.DetectionLimit > 0.012 && crushed.ModulationDepth!.Value.High > 0.012);
        Assert.True(clean.DetectionLimit < 0.004 && clean.ModulationDepth!.Value.High < 0.01);
    }

    [Fact]
    public void Trap_4_the_limit_only_rises_with_compression()
    {
        SampledTake take = Steady.Make();
        double[] limits = [.. new[] { 8, 2, 0.5, 0.1, 0.03 }.Select(b => Measure(take with { Traits = new RecordingTraits(0.3, 1.4, b, 0.017, "h264", false) }).DetectionLimit)];
        Assert.Equal(limits.Order(), limits);
        Assert.True(limits[^1] > 3 * limits[0]);
    }

    [Theory]
    [InlineData(1.0)] // half of each period is cut off
    [InlineData(1.15)]
    public void Trap_5_clipping(double ceiling)
    {
        Judged judged = Judged.Of(Steady with { Light = Waveform.Sine(217, 0.2), ExposureSeconds = 1 / 500.0, ClipsAt = ceiling, Level = new SignalLevel(0.95, 1, 0.3, 0) });
        Assert.True(judged.Forbids(FindingCodes.Clipped));
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt("29.97@1/500").Ruling);
        // What was cut off is counted in.
        Assert.True(judged.Finds(217).Amplitude.Holds(0.2 * 0.717));
    }

    [Fact]
    public void Trap_5_clipped_to_one_white_there_is_nothing_to_see_and_no_pass()
    {
        Judged judged = Judged.Of(Steady with { Light = Waveform.Sine(217, 0.2), ExposureSeconds = 1 / 500.0, ClipsAt = 0.75, Level = new SignalLevel(1, 1, 0.99, 0) });
        Assert.Empty(judged.Take.Tones);
        Assert.NotEqual(Ruling.Pass, judged.At("29.97@1/500").Ruling);
    }

    [Theory]
    [InlineData(0.08, 0.4)]
    [InlineData(0.2, 0.6)]
    public void Trap_5_darkness(double mean, double dark)
    {
        Judged judged = Judged.Of(Steady with { Light = Waveform.Sine(217, 0.04), RowNoise = 0.05, Level = new SignalLevel(mean, 0.3, 0, dark) });
        Assert.True(judged.Forbids(FindingCodes.Dark));
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt("29.97@1/250").Ruling);
    }

    [Fact]
    public void Trap_6_other_light()
    {
        // 20 % of depth, two thirds of the light on the wall from elsewhere: a third of it shows.
        SyntheticTake scene = Steady with { Light = Waveform.Sine(217, 0.2), ExposureSeconds = 1 / 500.0, OtherLight = 2 };
        Judged without = Judged.Of(scene), with = Judged.Of(scene with { WithReference = true });

        Assert.True(without.Warns(FindingCodes.NoReference));
        Assert.Equal(scene.TrueDepth(scene.ExposureSeconds), without.Finds(217).Amplitude.Value, 0.002);
        Assert.False(with.Warns(FindingCodes.NoReference));
        Tone tone = with.Finds(217);
        Assert.Equal(0.2 * 0.717, tone.Amplitude.Value, 0.003);
        Assert.True(tone.Amplitude.Holds((scene with { WithReference = true }).TrueDepth(scene.ExposureSeconds)));
    }

    [Fact]
    public void Trap_6_a_reference_with_shading_of_its_own()
    {
        SyntheticTake scene = Steady with
        {
            Light = Waveform.Sine(217, 0.1), ExposureSeconds = 1 / 500.0, OtherLight = 0.5, WithReference = true, Scene = (_, strip, down) => 1 + 0.1 * strip * (down - 0.5),
        };
        Assert.True(Judged.Of(scene).Finds(217).Amplitude.Holds(scene.TrueDepth(scene.ExposureSeconds)));
    }

    public static TheoryData<string> Drifts => new() { "ramp", "breathing", "steps" };

    private static double Gain(string drift, double t) => drift switch
    {
        "ramp" => 1 + 0.02 * t,
        "breathing" => 1 + 0.04 * Math.Sin(2 * Math.PI * 0.4 * t),
        _ => t < 1.7 ? 1 : t < 3.1 ? 1.06 : 0.97,
    };

    [Theory]
    [MemberData(nameof(Drifts))]
    public void Trap_7_automatic_exposure_beside_a_tone(string drift)
    {
        SyntheticTake scene = Steady with { Light = Waveform.Sine(217, 0.08), ExposureSeconds = 1 / 500.0, Gain = t => Gain(drift, t) };
        Judged judged = Judged.Of(scene);

        Tone tone = judged.Finds(217);
        Assert.Equal(scene.TrueDepth(scene.ExposureSeconds), tone.Amplitude.Value, 0.002);
        if (drift != "breathing") judged.ClaimsNoneBut(217);
        Assert.True(judged.Warns(FindingCodes.LevelDrift));
        Assert.Equal(Ruling.Fail, judged.IsHonestAt("29.97@1/500").Ruling);
    }

    [Fact]
    public void Trap_7_a_breathing_level_leaves_no_tone_behind() => Judged.Of(
        Steady with { Light = Waveform.Sine(217, 0.08), ExposureSeconds = 1 / 500.0, Gain = t => Gain("breathing", t) }).ClaimsNoneBut(217);

    [Theory]
    [MemberData(nameof(Drifts))]
    public void Trap_7_automatic_exposure_alone_is_no_tone_and_no_fail(string drift)
    {
        Judged judged = Judged.Of(Steady with { Gain = t => Gain(drift, t) });
        judged.ClaimsNothing();
        Assert.True(judged.Warns(FindingCodes.LevelDrift));
        Assert.NotEqual(Ruling.Fail, judged.IsHonestAt("29.97@1/250").Ruling);
    }

    [Fact]
    public void Trap_7_under_a_global_shutter_a_drift_forbids_a_pass()
    {
        // Without rows a slow beat and automatic exposure are one: here it is a light, 0.3 Hz of beat at 100 Hz.
        Judged judged = Judged.Of(Steady with { Light = Waveform.Sine(100.3, 0.05), Rate = "25", ReadoutSeconds = 0, ExposureSeconds = 1 / 500.0 });
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt("25@1/500").Ruling);
    }

    [Theory]
    [InlineData(119.715, 0.005)]
    [InlineData(119.95, 0.005)]
    [InlineData(119.715, 0.03)]
    [InlineData(119.75, 0.03)]
    [InlineData(119.8, 0.03)]
    [InlineData(119.85, 0.03)]
    [InlineData(119.9, 0.03)]
    [InlineData(119.95, 0.03)]
    [InlineData(120.1, 0.03)]
    public void Trap_7_a_slow_beat_of_less_than_a_band_is_found_or_said_to_be_beyond_the_take(double hertz, double depth)
    {
        // Over a third of a band the slow beat is nearly a wandering level, and was taken out as one.
        SyntheticTake scene = Steady with { Light = Waveform.Sine(hertz, depth, hertz), Rate = "30000/1001", Frames = 102, ReadoutSeconds = -0.003, ExposureSeconds = 1 / 500.0 };
        Judged judged = Judged.Of(scene);
        judged.IsHonestAt("29.97@1/500");
        double beat = 120 * 1000 / 1001.0 - hertz;
        Assert.True(judged.Take.SlowestBeatHz > Math.Abs(beat) || judged.Take.Tones.Any(t => Math.Abs(Math.Abs(t.AliasHz.Value) - Math.Abs(beat)) < 0.05));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Trap_7_bands_that_hardly_move_in_noise_are_not_left_out_as_too_uncertain(int seed)
    {
        // A seventh of a cycle in the clip: how strong it is hangs on how fast it is, but that the rows change is plain.
        SyntheticTake scene = Steady with
        {
            Light = Waveform.Sine(119.904, 0.24, 2.1), Rate = "30000/1001", Frames = 174, ExposureSeconds = 1 / 48.0, ReadoutSeconds = 0.0103,
            Rows = 104, CodedHeight = 180, RowNoise = 0.005, Seed = seed,
        };
        Judged judged = Judged.Of(scene);
        Assert.True(judged.Take.ModulationDepth!.Value.High >= scene.TrueDepth(scene.ExposureSeconds));
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt("29.97@1/48").Ruling);
    }

    /// <summary>Bare rectified mains in a tenth to a fifth of a cycle of its beat and under half a band: its overtone slopes like it, and so does a drift.</summary>
    [Theory]
    [InlineData(0.0136, 1, 0.9)]
    [InlineData(0.0136, 1, 2.4)]
    [InlineData(0.0136, 1, 3.6)]
    [InlineData(0.0136, 1, 3.9)]
    [InlineData(0.0136, 1, 4.8)]
    [InlineData(0.0136, 1, 5.4)]
    [InlineData(0.0136, 1, 5.7)]
    [InlineData(0.0136, 0.09, 4.62)]
    [InlineData(0.0136, 0.18, 5.8)]
    [InlineData(0.0136, 0.45, 5.01)]
    [InlineData(0.03, 0.09, 6.19)]
    [InlineData(0.03, 0.18, 5.4)]
    [InlineData(0.03, 0.45, 5.01)]
    public void Trap_7_a_slope_of_a_beat_does_not_tell_how_strong_it_is(double below, double share, double phase)
    {
        SyntheticTake scene = Steady with
        {
            Light = Waveform.Tones((100 - below, 0.667 * share, phase), (200 - 2 * below, 0.133 * share, 2 * phase), (400 - 4 * below, 0.0317 * share, 4 * phase)),
            Rate = "25", Frames = 155, ExposureSeconds = 1 / 60.0, ReadoutSeconds = 0.004033, Rows = 360, RowNoise = 0.001,
        };
        Judged judged = Judged.Of(scene);
        double truth = scene.TrueDepth(scene.ExposureSeconds);
        Assert.True(judged.Take.ModulationDepth!.Value.Holds(truth), $"{judged.Take.ModulationDepth} of {truth}");
        judged.IsHonestAt("25@1/60");
    }

    /// <summary>A dimmer of 25 kHz makes one whole cycle from row to row of 720 read in 28.8 ms: no bands, and with a short shutter the whole picture pulses slowly.</summary>
    [Theory]
    [InlineData(25_003, 1 / 8000.0)]
    [InlineData(25_001, 1 / 8000.0)]
    [InlineData(24_997.5, 1 / 4000.0)]
    public void Pulses_in_step_with_the_rows_are_not_ruled_out_as_drift(double hertz, double exposureSeconds)
    {
        SyntheticTake scene = Steady with { Light = Waveform.Sine(hertz, 0.4), Rate = "25", ReadoutSeconds = 0.0288, ExposureSeconds = exposureSeconds, CodedHeight = 720, FirstRow = 180, Rows = 360, Frames = 150, Strips = 4 };
        Judged judged = Judged.Of(scene);
        double real = scene.TrueDepth(exposureSeconds);
        Assert.InRange(real, 0.01, 0.03);
        Assert.True(judged.Take.ModulationDepth!.Value.High >= real);
        Assert.NotEqual(Ruling.Pass, judged.At(FormattableString.Invariant($"25@{exposureSeconds}s@28.8ms")).Ruling);
    }
}
