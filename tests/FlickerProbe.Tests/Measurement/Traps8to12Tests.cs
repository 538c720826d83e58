using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Traps of the measurement model, 8, 9, 11 and 12 (10, rotation, is the decoder's); and the direction and the kind of the readout.</summary>
public class Traps8to12Tests
{
    private static readonly SyntheticTake Lamp = new() { Light = Waveform.Sine(217, 0.1, 0.6), Rate = "30000/1001", ExposureSeconds = 1 / 500.0, Frames = 150 };

    private static void IsTrue(SyntheticTake scene, double hertz)
    {
        Judged judged = Judged.Of(scene);
        Tone tone = judged.Finds(hertz);
        double onCamera = scene.TrueDepth(scene.ExposureSeconds);
        Assert.True(Math.Abs(tone.Amplitude.Value - onCamera) < 0.02 * onCamera + 0.0005, $"{tone.Amplitude.Value} for {onCamera}");
        judged.ClaimsNoneBut(hertz);
        judged.IsRightAt(FormattableString.Invariant($"{scene.Rate}@1/{1 / scene.ExposureSeconds:0}"));
        judged.IsHonestAt("25@1/50");
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Trap_8_dropped_frames(int seed)
    {
        var random = new Random(seed);
        int[] kept = [.. Enumerable.Range(0, 160).Where(n => n is 0 or 159 || random.NextDouble() > 0.07)];
        IsTrue(Lamp with { Shown = kept, Stamps = [.. kept.Select(n => (double)n)] }, 217);
        Assert.True(Judged.Of(Lamp with { Shown = kept, Stamps = [.. kept.Select(n => (double)n)] }).Warns(FindingCodes.DroppedFrames));
    }

    [Fact]
    public void Trap_8_dropped_frames_that_the_stamps_hide_are_never_a_pass()
    {
        // The file counts on as if nothing were missing: the tone's phase jumps six times.
        int[] kept = [.. Enumerable.Range(0, 150).Where(n => n is not (20 or 41 or 42 or 70 or 99 or 130))];
        Judged judged = Judged.Of(Lamp with { Shown = kept });
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt("29.97@1/500").Ruling);
    }

    [Fact]
    public void Trap_8_jittering_stamps()
    {
        var random = new Random(3);
        IsTrue(Lamp with { Stamps = [.. Enumerable.Range(0, 150).Select(n => n + 0.3 * (random.NextDouble() - 0.5))] }, 217);
    }

    [Fact]
    public void Trap_8_a_phone_that_halves_its_rate_midway()
    {
        int[] shown = [.. Enumerable.Range(0, 90), .. Enumerable.Range(0, 40).Select(n => 90 + 2 * n)];
        IsTrue(Lamp with { Shown = shown, Stamps = [.. shown.Select(n => (double)n)] }, 217);
    }

    [Theory]
    [InlineData(FieldOrder.TopFieldFirst, 0, 0.016)]
    [InlineData(FieldOrder.BottomFieldFirst, 0, 0.016)]
    [InlineData(FieldOrder.TopFieldFirst, 3, -0.016)]
    [InlineData(FieldOrder.BottomFieldFirst, 3, 0.016)]
    public void Trap_9_interlace(FieldOrder order, int firstRow, double readout) =>
        IsTrue(Lamp with { Rate = "25", Fields = order, FirstRow = firstRow, Rows = 120, CodedHeight = 140, ReadoutSeconds = readout, Frames = 100 }, 217);

    [Fact]
    public void Trap_9_interlace_measures_100_Hz_at_25_frames_a_second_as_50_fields()
    {
        Judged judged = Judged.Of(Lamp with { Light = Waveform.Sine(100, 0.2), Rate = "25", Fields = FieldOrder.TopFieldFirst });
        Assert.True(judged.Warns(FindingCodes.LockedBands) && judged.Warns(FindingCodes.Interlaced));
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt("25@1/500").Ruling);
    }

    [Theory]
    [InlineData(FieldOrder.TopFieldFirst)]
    [InlineData(FieldOrder.BottomFieldFirst)]
    public void Trap_9_overtones_finer_than_the_rows_of_a_field_belong_to_their_light(FieldOrder order)
    {
        // 48 bands on 60 rows of a field: the second overtone's 97 look like 23 whose beat is half the field rate off.
        SyntheticTake take = Lamp with { Light = new PulseLight { FrequencyHz = 3038, Duty = 0.2, Low = 0, High = 1 }, Rate = "25", ExposureSeconds = 1.0 / 4000, Fields = order, Rows = 120 };
        Judged judged = Judged.Of(take);
        Assert.InRange(take.TrueDepth(take.ExposureSeconds), judged.Take.ModulationDepth!.Value.Low, judged.Take.ModulationDepth!.Value.High);
        // 6076 Hz beats at 24 Hz of 50 fields a second; the lines alone would have it at 1 Hz.
        Assert.Equal([1, 2, 3], judged.Take.Tones.Take(3).Select(t => t.HarmonicNumber));
        Assert.Equal(24, Math.Abs(judged.Take.Tones[1].AliasHz.Value), 0.01);
    }

    [Fact]
    public void Trap_11_duplicated_frames_now_and_then()
    {
        int[] shown = [.. Enumerable.Range(0, 150).Select(n => n is 30 or 77 or 78 or 120 ? n - 1 : n)];
        shown[78] = 76;
        IsTrue(Lamp with { Shown = shown }, 217);
        Assert.True(Judged.Of(Lamp with { Shown = shown }).Warns(FindingCodes.DroppedFrames));
    }

    [Theory] // 24 frames made 30, or 25 made 50, by showing frames again.
    [InlineData(4, 5)]
    [InlineData(1, 2)]
    public void Trap_11_a_converted_rate_is_never_a_pass(int from, int to)
    {
        int[] shown = [.. Enumerable.Range(0, 150).Select(n => n * from / to)];
        Judged judged = Judged.Of(Lamp with { Light = Waveform.Sine(217, 0.004), Shown = shown });
        Assert.True(judged.Forbids(FindingCodes.DroppedFrames));
        Assert.NotEqual(Ruling.Pass, judged.At("29.97@1/500").Ruling);
    }

    [Fact]
    public void Trap_12_two_rates_at_once()
    {
        // Mains ripple on a pulsed dimmer: lines at 120, 877 and their sums and differences, half the product each (modulation theorem).
        Waveform light = Waveform.Sine(120, 0.2, 0.3).Times(Waveform.Sine(877, 0.4, 1));
        SyntheticTake scene = Lamp with { Light = light, Rate = "50", ExposureSeconds = 1 / 2000.0, Frames = 200, Rows = 160, ReadoutSeconds = 0.012 };
        Judged judged = Judged.Of(scene);

        double Kept(double hertz) => Math.Abs(Math.Sin(Math.PI * hertz / 2000) / (Math.PI * hertz / 2000));
        foreach ((double hertz, double amplitude) in new[] { (120, 0.2), (877, 0.4), (757, 0.04), (997, 0.04) })
        {
            Tone tone = judged.Finds(hertz);
            Assert.Equal(amplitude * Kept(hertz), tone.Amplitude.Value, 0.002);
        }
        judged.ClaimsNoneBut(120, 877, 757, 997);
        Assert.Equal(2, judged.Take.Tones.Count(t => t.Group is not null));
        judged.IsRightAt("50@1/2000");
        judged.IsHonestAt("25@1/50");
    }

    [Fact]
    public void Trap_12_the_depth_of_two_rates_over_an_odd_number_of_frames() => DepthOfTwoRates(201);

    [Fact]
    public void Trap_12_the_depth_of_two_rates_over_an_even_number_of_frames() => DepthOfTwoRates(200);

    private static void DepthOfTwoRates(int frames)
    {
        Waveform light = Waveform.Sine(120, 0.2, 0.3).Times(Waveform.Sine(877, 0.4, 1));
        SyntheticTake scene = Lamp with { Light = light, Rate = "50", ExposureSeconds = 1 / 2000.0, Frames = frames, Rows = 160, ReadoutSeconds = 0.012 };
        Estimate depth = Judged.Of(scene).Take.ModulationDepth!.Value;
        Assert.True(depth.Holds(scene.TrueDepth(scene.ExposureSeconds)), $"{depth} for {scene.TrueDepth(scene.ExposureSeconds)}");
    }

    [Fact]
    public void Trap_12_two_fixtures_of_unrelated_rates_in_one_picture()
    {
        SyntheticTake scene = Lamp with { Light = Waveform.Tones((100, 0.05, 0), (731, 0.03, 1)), ExposureSeconds = 1 / 1000.0 };
        Judged judged = Judged.Of(scene);
        judged.Finds(100);
        judged.ClaimsNoneBut(100, 731);
        judged.IsRightAt("29.97@1/1000");
        Assert.True(judged.Take.ModulationDepth!.Value.Holds(scene.TrueDepth(scene.ExposureSeconds)));
    }

    [Theory]
    [InlineData(0.016, 100)]
    [InlineData(-0.016, 100)]
    [InlineData(-0.0273, 217)]
    [InlineData(0.0074, 217)]
    public void A_readout_either_way_gives_the_true_frequency(double readout, double hertz) =>
        IsTrue(Lamp with { ReadoutSeconds = readout, Light = Waveform.Sine(hertz, 0.1, 0.6) }, hertz);

    [Fact]
    public void An_unknown_readout_keeps_the_truth_among_its_candidates()
    {
        foreach (double readout in new[] { 0.016, -0.021 })
        {
            Judged judged = Judged.Of(Lamp with { ReadoutSeconds = readout, KnowsReadout = false });
            Assert.True(judged.Take.Tones[0].FrequencyHz is null && judged.Take.Tones[0].CandidatesHz.Count > 1);
            Assert.Contains(judged.Take.Tones[0].CandidatesHz, f => Math.Abs(f - 217) < 0.05);
            Assert.True(judged.Warns(FindingCodes.ReadoutUnknown) && judged.Warns(FindingCodes.AmbiguousFrequency));
            judged.IsHonestAt("25@1/50");
            judged.IsHonestAt("25@1/120");
        }
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_global_shutter_leaves_every_multiple(bool known)
    {
        Judged judged = Judged.Of(Lamp with { ReadoutSeconds = 0, KnowsReadout = known });
        Assert.Null(judged.Take.Tones[0].FrequencyHz);
        Assert.Contains(judged.Take.Tones[0].CandidatesHz, f => Math.Abs(f - 217) < 0.05);
        Assert.Equal(0, judged.Take.Tones[0].BandsPerHeight.Value, 0.05);
        judged.IsHonestAt("25@1/50");
    }

    [Fact]
    public void Two_rates_of_a_global_shutter_intersect_to_one_frequency()
    {
        SyntheticTake scene = Lamp with { ReadoutSeconds = 0 };
        Judged judged = Judged.Of(scene, scene with { Rate = "25" }, scene with { Rate = "50", Frames = 200 });
        Assert.Contains(judged.Light.CandidatesHz, f => Math.Abs(f - 217) < 0.1);
        Assert.True(judged.Light.CandidatesHz.Count < judged.Take.Tones[0].CandidatesHz.Count);
        judged.IsHonestAt("25@1/50");
    }

    [Fact]
    public void An_unknown_shutter_leaves_a_lower_bound()
    {
        Judged judged = Judged.Of(Lamp with { KnowsExposure = false });
        Assert.True(judged.Warns(FindingCodes.ShutterUnknown));
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt("29.97@1/1000").Ruling);
        Assert.NotEqual(Ruling.Pass, Judged.Of(Lamp with { KnowsExposure = false, Light = new SteadyLight() }).At("25@1/500").Ruling);
    }
}
