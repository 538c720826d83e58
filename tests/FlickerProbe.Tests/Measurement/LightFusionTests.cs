using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Takes of one light put together: candidates intersect, amplitudes are undone through each shutter, contradictions are said.</summary>
public class LightFusionTests
{
    private const double Frequency = 217;

    /// <summary>What a take states of a light of 217 Hz: amplitude times gain, and the multiples of its rate that fit its alias.</summary>
    private static TakeMeasurement Take(string rate, double exposureSeconds, double source, bool ambiguous, double limit = 0.001, double hertz = Frequency)
    {
        FrameRate frames = FrameRate.Parse(rate);
        double alias = AliasFrequency.Of(hertz, frames), seen = source * Math.Abs(Math.Sin(Math.PI * hertz * exposureSeconds) / (Math.PI * hertz * exposureSeconds));
        double[] candidates = ambiguous
            ? [.. Enumerable.Range(-40, 81).SelectMany(k => new[] { alias + k * frames.Hertz, -alias + k * frames.Hertz }).Where(f => f is > 20 and < 900).Order()]
            : [hertz];
        Tone[] tones = seen < limit ? [] :
        [
            new Tone(Estimate.Normal(alias, 0.002), Estimate.Exactly(0), Estimate.Normal(seen, 0.0005), 0.3,
                ambiguous ? null : Estimate.Normal(hertz, 0.003), candidates, 0, 1) { TimesLimit = seen / limit },
        ];
        return new TakeMeasurement(new CameraFormat(frames, ExposureTime.FromSeconds(exposureSeconds, 0), ReadoutTime.Global), 200, 200,
            new SignalLevel(0.6, 0.7, 0, 0), Estimate.Normal(seen, 0.001), null, limit, 0.1, null, tones, []);
    }

    [Theory]
    [InlineData("25", "30000/1001")]
    [InlineData("24000/1001", "25")]
    [InlineData("50", "60000/1001")]
    public void Candidates_of_two_rates_intersect(string first, string second)
    {
        TakeMeasurement a = Take(first, 1 / 500.0, 0.2, true), b = Take(second, 1 / 500.0, 0.2, true);
        LightEstimate light = LightFusion.Fuse([a, b]);

        // By exhaustion: what lies in both lists within 0.12 Hz and a thousandth, what mains and dimmers wander between takes.
        double[] common = [.. a.Tones[0].CandidatesHz.Where(f => b.Tones[0].CandidatesHz.Any(g => Math.Abs(f - g) <= 0.12 + 1e-3 * f))];
        Assert.Equal(common, light.CandidatesHz);
        Assert.Contains(light.CandidatesHz, f => Math.Abs(f - Frequency) < 1e-6);
        Assert.True(common.Length < a.Tones[0].CandidatesHz.Count);
        Assert.DoesNotContain(light.Findings, f => f.Code == FindingCodes.ContradictingTakes);
    }

    [Fact]
    public void Three_rates_leave_one_frequency()
    {
        LightEstimate light = LightFusion.Fuse([Take("25", 1 / 500.0, 0.2, true), Take("30000/1001", 1 / 500.0, 0.2, true), Take("48", 1 / 500.0, 0.2, true)]);
        Assert.True(light.FundamentalHz!.Value.Holds(Frequency), $"{light.FundamentalHz}");
        Assert.Equal(ComponentState.Resolved, light.Components[0].State);
    }

    [Theory]
    [InlineData(500)]
    [InlineData(250)]
    [InlineData(120)]
    public void The_shutter_is_undone(double reciprocal)
    {
        LightEstimate light = LightFusion.Fuse([Take("25", 1 / reciprocal, 0.2, false)]);
        Assert.Equal(0.2, light.Components[0].Amplitude.Value, 1e-9);
        Assert.True(light.ModulationDepth!.Value.Holds(0.2));
    }

    [Fact]
    public void Two_shutters_agree_on_one_source()
    {
        LightEstimate light = LightFusion.Fuse([Take("25", 1 / 500.0, 0.2, false), Take("25", 1 / 100.0, 0.2, false)]);
        Assert.Single(light.Components);
        Assert.Equal(0.2, light.Components[0].Amplitude.Value, 1e-6);
        Assert.Empty(light.Findings);
    }

    [Fact]
    public void Takes_whose_sources_differ_say_so_and_cover_both()
    {
        LightEstimate light = LightFusion.Fuse([Take("25", 1 / 500.0, 0.2, false), Take("25", 1 / 250.0, 0.08, false)]);
        Assert.Contains(light.Findings, f => f is { Code: FindingCodes.ContradictingTakes, ForbidsPass: true });
        Assert.True(light.Components[0].Amplitude.Holds(0.2) && light.Components[0].Amplitude.Holds(0.08));
    }

    [Fact]
    public void A_take_that_should_have_shown_it_and_did_not_contradicts()
    {
        LightEstimate light = LightFusion.Fuse([Take("25", 1 / 500.0, 0.2, false), Take("25", 1 / 500.0, 0, false)]);
        Assert.Contains(light.Findings, f => f is { Code: FindingCodes.ContradictingTakes, ForbidsPass: true });
    }

    [Fact]
    public void A_take_at_a_null_is_no_contradiction()
    {
        // 217 Hz over one period.
        LightEstimate light = LightFusion.Fuse([Take("25", 1 / 500.0, 0.2, false), Take("25", 1 / 217.0, 0.2, false)]);
        Assert.DoesNotContain(light.Findings, f => f.Code == FindingCodes.ContradictingTakes);
        Assert.Equal(0.2, light.Components[0].Amplitude.Value, 1e-9);
    }

    [Fact]
    public void What_a_take_did_not_show_strikes_candidates_but_never_the_truth()
    {
        // Seen at 1/500 s with candidates up to 900 Hz; not seen at 1/217 s, where only multiples of 217 Hz vanish.
        TakeMeasurement seen = Take("25", 1 / 500.0, 0.2, true);
        LightEstimate light = LightFusion.Fuse([seen, Take("30000/1001", 1 / 217.0, 0.2, true)]);
        Assert.Contains(light.CandidatesHz, f => Math.Abs(f - Frequency) < 1e-6);
        Assert.True(light.CandidatesHz.Count < seen.Tones[0].CandidatesHz.Count);
    }

    /// <summary>A take without tones in which bands may stand unseen, as strong as they like.</summary>
    private static TakeMeasurement Silent(string rate, double exposureSeconds, double movingLimit, double relativeDeviation = 0, params Finding[] findings)
    {
        FrameRate frames = FrameRate.Parse(rate);
        return Take(rate, exposureSeconds, 0, true) with
        {
            Take = new CameraFormat(frames, ExposureTime.FromSeconds(exposureSeconds, relativeDeviation), ReadoutTime.Global),
            DetectionLimit = 1, LockedBound = 1, IfNothingStands = new MovingOnly(Estimate.AtMost(movingLimit), movingLimit), Findings = findings,
        };
    }

    [Fact]
    public void What_may_stand_in_a_take_hides_nothing_that_moves_in_it()
    {
        // 1000 Hz stands still at 25 frames a second: the take shows nothing, and only what may stand there is left.
        TakeMeasurement seen = Take("30000/1001", 1 / 640.0, 0.2, true, hertz: 1000);
        seen = seen with { Tones = [seen.Tones[0] with { CandidatesHz = [.. seen.Tones[0].CandidatesHz, 1000] }] };
        LightEstimate light = LightFusion.Fuse([seen, Silent("25", 1 / 640.0, 0.004)]);
        Assert.Contains(1000.0, light.CandidatesHz);
        // A driver's clock may have wandered by one per cent before the second take, and the light to where it stands still.
        double[] left = [.. seen.Tones[0].CandidatesHz.Where(f => Math.Abs(AliasFrequency.Of(f, FrameRate.Parse("25"))) <= Math.Max(0.01 * f, 0.27 + 1e-3 * f))];
        Assert.Equal(left.Where(Shown), light.CandidatesHz.Where(Shown));
        static bool Shown(double f) => Math.Abs(ExposureGain.At(f, 1 / 640.0)) > 0.1;
        Assert.True(left.Length < 0.6 * seen.Tones[0].CandidatesHz.Count, $"{left.Length}");
        Assert.DoesNotContain(light.Findings, f => f.Code == FindingCodes.ContradictingTakes);
    }

    [Fact]
    public void A_take_in_doubt_is_not_believed_that_far()
    {
        TakeMeasurement seen = Take("30000/1001", 1 / 640.0, 0.2, true, hertz: 1000);
        LightEstimate light = LightFusion.Fuse([seen, Silent("25", 1 / 640.0, 0.004, 0, new Finding(FindingCodes.MixedFrames, "Mixed.") { ForbidsPass = true })]);
        Assert.Equal(seen.Tones[0].CandidatesHz, light.CandidatesHz);
    }

    [Theory]
    [InlineData(100.05, true)] // mains that wandered onto the rate between the takes: it stands still there
    [InlineData(100.9, true)] // a driver whose clock went by nine thousandths
    [InlineData(102, false)] // too far from it
    public void A_light_may_wander_into_standing_still_between_two_takes(double hertz, bool fits)
    {
        LightEstimate light = LightFusion.Fuse([Take("30000/1001", 1 / 500.0, 0.2, false, hertz: hertz), Silent("25", 1 / 500.0, 0.004)]);
        Assert.Equal(!fits, light.Findings.Any(f => f.Code == FindingCodes.ContradictingTakes));
    }

    [Fact]
    public void Where_nothing_can_stand_no_driver_can_have_come_to_stand()
    {
        // The same silent take, but bands that stand are excluded in it.
        TakeMeasurement silent = Silent("25", 1 / 500.0, 0.004) with { LockedBound = null, DetectionLimit = 0.004, IfNothingStands = null };
        LightEstimate light = LightFusion.Fuse([Take("30000/1001", 1 / 500.0, 0.2, false, hertz: 100.9), silent]);
        Assert.Contains(light.Findings, f => f.Code == FindingCodes.ContradictingTakes);
    }

    [Fact]
    public void A_driver_that_wanders_is_one_light_at_all_its_rates()
    {
        LightEstimate light = LightFusion.Fuse([Take("30000/1001", 1 / 640.0, 0.2, false, hertz: 1000), Take("25", 1 / 250.0, 0.2, false, hertz: 1006)]);
        LightComponent component = Assert.Single(light.Components);
        // It was seen to move by 6 Hz, and may move as far again.
        Assert.True(light.FundamentalHz!.Value is { Low: > 993.9 and <= 994, High: >= 1012 and < 1012.1 }, $"{light.FundamentalHz}");
        Assert.Equal(component.FrequencyHz, light.FundamentalHz);
        // Each take's shutter is undone at the rate that it saw: at 1/250 s 1000 Hz itself would have been at a null.
        Assert.Equal(0.2, component.Amplitude.Value, 1e-6);
        Assert.Equal(FindingCodes.RateWandered, Assert.Single(light.Findings).Code);
        Assert.Contains("1000 Hz in one take and at 1006 Hz in another", light.Findings[0].Message);
        Assert.False(light.Findings[0].ForbidsPass);
    }

    [Fact]
    public void Rates_further_apart_than_a_driver_wanders_are_two_lights()
    {
        LightEstimate light = LightFusion.Fuse([Take("30000/1001", 1 / 640.0, 0.2, false, hertz: 1000), Take("25", 1 / 640.0, 0.2, false, hertz: 1013)]);
        Assert.Equal(2, light.Components.Count);
        Assert.Contains(light.Findings, f => f is { Code: FindingCodes.ContradictingTakes, ForbidsPass: true });
        Assert.DoesNotContain(light.Findings, f => f.Code == FindingCodes.RateWandered);
    }

    [Fact]
    public void Two_lights_that_are_in_one_take_never_become_one()
    {
        TakeMeasurement both = Take("30000/1001", 1 / 640.0, 0.2, false, hertz: 1000);
        both = both with { Tones = [both.Tones[0], Take("30000/1001", 1 / 640.0, 0.1, false, hertz: 1004).Tones[0] with { Group = 1 }] };
        Assert.Equal([1000, 1004], LightFusion.Fuse([both]).Components.Select(c => Math.Round(c.FrequencyHz.Value, 6)));
    }

    [Theory]
    [InlineData(0.0, true)]
    [InlineData(0.02, false)]
    public void A_shutter_that_may_be_at_a_null_strikes_nothing(double relativeDeviation, bool contradicts)
    {
        // 217 Hz over 1.03 of its periods: 3 % of it are left, or none.
        LightEstimate light = LightFusion.Fuse([Take("30000/1001", 1 / 500.0, 0.2, false), Silent("25", 1.03 / 217, 0.001, relativeDeviation)]);
        Assert.Equal(contradicts, light.Findings.Any(f => f.Code == FindingCodes.ContradictingTakes));
    }

    [Fact]
    public void A_tone_that_is_there_but_counted_otherwise_is_not_absent()
    {
        // The same light, of which the other take took the tone for the third overtone of something.
        TakeMeasurement other = Take("25", 1 / 500.0, 0.2, false);
        other = other with { Tones = [other.Tones[0] with { HarmonicNumber = 3 }] };
        LightEstimate light = LightFusion.Fuse([Take("30000/1001", 1 / 500.0, 0.2, false), other]);
        Assert.DoesNotContain(light.Findings, f => f.Code == FindingCodes.ContradictingTakes);
    }

    [Fact]
    public void A_tone_of_unknown_kin_is_where_no_other_take_rules_it_out()
    {
        TakeMeasurement seen = Take("30000/1001", 1 / 640.0, 0.2, true);
        seen = seen with { Tones = [seen.Tones[0] with { Group = null, HarmonicNumber = null, CandidatesHz = [Frequency, 1000.0, 1012.0] }] };
        LightComponent component = Assert.Single(LightFusion.Fuse([seen, Silent("25", 1 / 640.0, 0.004)]).Components);
        Assert.Equal([1000.0], component.CandidatesHz);
        Assert.Equal(ComponentState.Resolved, component.State);
        Assert.True(component.FrequencyHz.Holds(1000) && component.FrequencyHz.High > 1000);

        // With no frequency left it is nothing that all takes show: it stays as it was seen.
        seen = seen with { Tones = [seen.Tones[0] with { CandidatesHz = [Frequency, 1012.0] }] };
        Assert.Equal([Frequency, 1012.0], Assert.Single(LightFusion.Fuse([seen, Silent("25", 1 / 640.0, 0.004)]).Components).CandidatesHz);
    }

    [Fact]
    public void Two_lights_stay_two()
    {
        TakeMeasurement both = Take("25", 1 / 500.0, 0.2, false) with
        {
            Tones = [Take("25", 1 / 500.0, 0.2, false).Tones[0], Take("25", 1 / 500.0, 0.05, false, hertz: 333).Tones[0] with { Group = 1 }],
        };
        LightEstimate light = LightFusion.Fuse([both, Take("50", 1 / 500.0, 0.05, false, hertz: 333)]);
        Assert.Equal([Frequency, 333], light.Components.Select(c => Math.Round(c.FrequencyHz.Value, 6)));
        Assert.Equal(0.25, light.ModulationDepth!.Value.Value, 1e-3);
    }

    /// <summary>Takes of fast pulses in fine bands by a camera whose readout nobody knows: thousands of rates fit each take.</summary>
    private static Judged Fine(double readoutSeconds, params string[] rates) => Judged.Of([.. rates.Select(rate => new SyntheticTake
    {
        Light = new FlickerProbe.Rendering.Light.PulseLight { FrequencyHz = 6280.3156, Duty = 0.4, Low = 0 }, Rate = rate, ExposureSeconds = 1 / 1000.0,
        ReadoutSeconds = readoutSeconds, KnowsReadout = false, Rows = 180, Frames = 150,
    })]);

    [Theory]
    [InlineData(0.0061)]
    [InlineData(-0.0061)]
    public void Of_thousands_of_rates_that_fit_the_true_one_is_there_and_none_is_claimed(double readoutSeconds)
    {
        Judged one = Fine(readoutSeconds, "30");
        Assert.Contains(one.Take.Tones[0].CandidatesHz, f => Math.Abs(f - 6280.3156) < 0.1);

        // A list that long is no knowledge: at another shutter as much as the strongest tone may be there at any rate, never a pass.
        Assert.True(one.Light.Blind[0].DetectionLimit >= one.Take.Tones[0].Amplitude.Value || one.Light.Components.Count > 0);
        Assert.NotEqual(FlickerProbe.Verdict.Ruling.Pass, one.At("30@1/4000").Ruling);
        Assert.NotEqual(FlickerProbe.Verdict.Ruling.Pass, one.At("30@1/50").Ruling);

        Judged three = Fine(readoutSeconds, "30", "30000/1001", "25");
        if (three.Light.FundamentalHz is { } f) Assert.True(f.Holds(6280.3156), $"{f}");
        Assert.Contains(three.Light.CandidatesHz, c => Math.Abs(c - 6280.3156) < 1);
    }

    [Fact]
    public void A_fast_light_before_a_global_shutter_keeps_its_true_rate_among_those_that_fit()
    {
        // 15.73 kHz through 1/1000 s: some 900 rates share its beat of 9.2 Hz at 48 frames a second, and dimmers have all of them.
        Judged judged = Judged.Of(new SyntheticTake
        {
            Light = FlickerProbe.Rendering.Light.Waveform.Sine(15_734.83, 1), Rate = "48", ExposureSeconds = 0.001, ReadoutSeconds = 0, Frames = 300, Rows = 48, RowNoise = 0.0003,
        });
        LightComponent component = Assert.Single(judged.Light.Components);
        Assert.True(component.CandidatesHz.Count > 400);
        Assert.Contains(component.CandidatesHz, hz => Math.Abs(hz - 15_734.83) < 0.05);
        // What was seen is not called unseen.
        Assert.NotEqual(Appearance.Nothing, Forecaster.Forecast(judged.Light, CameraFormat.Parse("48@1/1000@global")).Appearance);
    }
}
