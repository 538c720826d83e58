using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Tests.Measurement;

/// <summary>What a statement owes to its doubts: the parts of the depth's interval, and rates that one take must leave open.</summary>
public class DoubtPartsTests
{
    private static readonly SyntheticTake Lamp = new() { Light = Waveform.Sine(217, 0.1, 0.6), Rate = "30000/1001", ExposureSeconds = 1 / 500.0 };

    [Theory]
    [InlineData(0.1)]
    [InlineData(0)]
    public void The_parts_of_the_depth_account_for_its_interval(double lightDepth)
    {
        TakeMeasurement take = Judged.Of(Lamp with { Light = Waveform.Sine(217, lightDepth, 0.6) }).Take;
        double up = take.ModulationDepth!.Value.High - take.ModulationDepth.Value.Value;

        Assert.NotEmpty(take.DepthParts);
        Assert.All(take.DepthParts, p => Assert.True(p.HalfWidth > 0, p.Cause));
        Assert.Equal(take.DepthParts.Count, take.DepthParts.Select(p => p.Cause).Distinct().Count());
        // Together they can't make less than the widest of them alone, nor more than all added up.
        Assert.InRange(up, 0.5 * take.DepthParts.Max(p => p.HalfWidth), 1.001 * take.DepthParts.Sum(p => p.HalfWidth));
    }

    [Fact]
    public void The_squares_of_a_frequency_s_parts_add_up_to_its_interval()
    {
        Tone tone = Judged.Of(Lamp).Take.Tones[0];
        double half = tone.FrequencyHz!.Value.High - tone.FrequencyHz.Value.Value;
        Assert.Contains(tone.FrequencyParts, p => p.Cause == "noise");
        Assert.Contains(tone.FrequencyParts, p => p.Cause == "time stamps");
        Assert.Equal(half * half, tone.FrequencyParts.Sum(p => p.HalfWidth * p.HalfWidth), 1e-6 * half * half);
        // Where several frequencies remain there is no interval to divide.
        Assert.All(Judged.Of(Lamp with { KnowsReadout = false }).Take.Tones.Where(t => t.FrequencyHz is null), t => Assert.Empty(t.FrequencyParts));
    }

    [Fact]
    public void A_drift_that_may_be_light_is_named()
    {
        // Hardly a band in the region, and the exposure breathes: the light may be part of it.
        TakeMeasurement take = Judged.Of(Lamp with { ReadoutSeconds = 0.004, Light = Waveform.Sine(120.1, 0.1, 0.6), Gain = t => 1 + 0.02 * Math.Sin(0.6 * t) }).Take;
        Assert.Contains(take.DepthParts, p => p.Cause == "level drift");
    }

    [Fact]
    public void Pulses_in_noise_hold_their_true_depth_as_often_as_they_say()
    {
        int held = 0;
        string misses = "";
        const int Takes = 40;
        for (int i = 0; i < Takes; i++)
        {
            var dice = new NormalNoise(7000 + i);
            SyntheticTake scene = Lamp with
            {
                Seed = 100 + i, Rows = 160, RowNoise = 0.003, ExposureSeconds = 1 / 1000.0,
                Light = new PulseLight { FrequencyHz = dice.Between(300, 900), Duty = dice.Between(0.15, 0.5), Low = dice.Between(0.9, 0.97), PhaseCycles = dice.Between(0, 1) },
            };
            double truth = scene.TrueDepth(scene.ExposureSeconds);
            Units.Estimate stated = Judged.Of(scene).Take.ModulationDepth!.Value;
            if (stated.Holds(truth)) held++;
            else misses += $"\n{i}: {stated} for {truth}";
        }
        // Where 93 % or more hold in the long run, fewer than 33 of 40 do so once in a hundred such tests (binomial).
        Assert.True(held >= 33, held + misses);
    }

    private static double OnCamera(LightComponent line, double exposureSeconds)
    {
        double turns = Math.PI * line.FrequencyHz * exposureSeconds;
        return line.Amplitude * Math.Abs(Math.Sin(turns) / turns);
    }

    [Fact]
    public void Lights_that_share_their_places_hide_no_tone_above_the_limit()
    {
        // Pulses of 299.99 Hz and ripple of 99.98 Hz at 50 frames a second: every overtone of both all but stands still.
        var scene = new SyntheticTake
        {
            Light = new SumLight { Parts = [new PulseLight { FrequencyHz = 299.99, Duty = 0.3, Low = 0.3 }, Waveform.Sine(99.98, 0.08, 1)] },
            Rate = "50", ExposureSeconds = 1 / 2000.0, ReadoutSeconds = 0.009, Frames = 240, Rows = 210, CodedHeight = 360,
        };
        TakeMeasurement take = Judged.Of(scene).Take;
        Assert.All(
            LightAnalysis.Of(scene.Light).Components().Where(l => OnCamera(l, scene.ExposureSeconds) > take.DetectionLimit && Math.Abs(l.FrequencyHz - 50 * Math.Round(l.FrequencyHz / 50)) > take.SlowestBeatHz),
            line => Assert.Contains(take.Tones, t => t.CandidatesHz.Any(h => Math.Abs(h - line.FrequencyHz) < 2e-4 * line.FrequencyHz)));
    }

    [Fact]
    public void The_whole_picture_pulsing_slower_than_any_lamp_is_no_light()
    {
        Judged judged = Judged.Of(Lamp with { Light = new SteadyLight(), Gain = t => 1 + 0.003 * Math.Sin(2 * Math.PI * 3 * t) });
        judged.ClaimsNothing();
    }

    [Fact]
    public void Pulses_that_all_but_stand_still_claim_no_rate_but_their_own()
    {
        foreach (double drift in new[] { 0.008, 0.012, 0.02 })
        {
            Judged judged = Judged.Of(Lamp with { Rate = "25", Rows = 240, ReadoutSeconds = 0.0047, ExposureSeconds = 1 / 200.0, Light = new PulseLight { FrequencyHz = 250 + drift, Duty = 0.3, Low = 0.6 } });
            judged.ClaimsNoneBut([.. Enumerable.Range(1, OvertoneGrouping.HighestOvertone).Select(m => m * (250 + drift))]);
        }
    }

    [Fact]
    public void Narrow_pulses_finer_than_the_rows_stay_among_the_candidates()
    {
        // 7377 Hz in 20.6 ms make 152 bands over 200 rows, which look like 48: only narrow pulses show so much at 1/2000 s.
        const double Hertz = 7377.04;
        Judged judged = Judged.Of(Lamp with { Rate = "25", Rows = 200, ReadoutSeconds = 0.0206, ExposureSeconds = 1 / 2000.0, Light = new PulseLight { FrequencyHz = Hertz, Duty = 0.08, Low = 0 } });
        Tone strongest = judged.Take.Tones[0];
        Assert.Contains(strongest.CandidatesHz, f => Math.Abs(f - Hertz) < 0.1);
    }

    [Fact]
    public void A_still_of_plain_bands_without_a_readout_says_that_their_rate_is_open()
    {
        Judged judged = Judged.Of(Lamp with { Frames = 1, Rows = 400, KnowsReadout = false, Light = Waveform.Sine(700, 0.4) });
        Assert.True(judged.Take.Tones.Count > 0);
        Assert.Contains(judged.Take.Findings, f => f.Code == FindingCodes.AmbiguousFrequency && f.Message.Contains("can't be told from a still", StringComparison.Ordinal));
    }
}
