using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

/// <summary>"A take at another frame rate settles it": once it was shot, it does, and only then.</summary>
public class StandingLightTests
{
    private const double Bound = 0.1, Limit = 0.002;

    private static TakeMeasurement Take(string format, double? locked, double? halfWave = null, params Finding[] findings)
    {
        double high = Math.Max(locked ?? 0, Math.Max(halfWave ?? 0, 1.5 * Limit));
        return new(CameraFormat.Parse(format), 200, 200, new SignalLevel(0.5, 0.6, 0, 0), Estimate.AtMost(high), null, Math.Max(Limit, locked ?? 0), 0.05, locked, [],
            locked is null && halfWave is null ? findings : [.. findings, new Finding(FindingCodes.LockedBands, "A take at another frame rate settles it.")])
        {
            HalfWaveBound = halfWave,
            IfNothingStands = locked is null && halfWave is null ? null : new MovingOnly(Estimate.AtMost(1.5 * Limit), Limit),
        };
    }

    private static Judgement Judged(string format, params TakeMeasurement[] takes) =>
        Judge.Format(Forecaster.Forecast(LightFusion.Fuse(takes), CameraFormat.Parse(format)), takes, Policy.Default);

    [Fact]
    public void Alone_it_is_open()
    {
        TakeMeasurement take = Take("25@1/250@16ms", Bound);
        Assert.Equal(Bound, StandingLight.Bound(take, [take])!.Value, 6);
        Assert.False(StandingLight.IsSettled(take, [take]));
        Judgement judgement = Judged("25@1/250@16ms", take);
        Assert.Equal(Ruling.Watch, judgement.Ruling);
        Assert.Equal(FindingCodes.LockedBands, judgement.Reasons[0].Code);
    }

    [Fact]
    public void Another_rate_settles_it_for_both()
    {
        TakeMeasurement[] takes = [Take("25@1/250@16ms", Bound), Take("29.97@1/250@16ms", null)];
        Assert.Equal(Limit, StandingLight.Bound(takes[0], takes)!.Value, 6);
        Assert.True(StandingLight.IsSettled(takes[0], takes));
        foreach (string format in new[] { "25@1/250@16ms", "29.97@1/250@16ms" })
        {
            Judgement judgement = Judged(format, takes);
            Assert.Equal(Ruling.Pass, judgement.Ruling);
            Assert.DoesNotContain(judgement.Reasons, r => r.Code == FindingCodes.LockedBands);
        }
    }

    [Fact]
    public void A_rate_that_shares_the_lock_settles_nothing()
    {
        // 100 Hz stands at 25 and at 50 frames a second alike.
        TakeMeasurement[] takes = [Take("25@1/250@16ms", Bound), Take("50@1/250@16ms", Bound)];
        Assert.All(takes, t => Assert.False(StandingLight.IsSettled(t, takes)));
        Assert.Equal(Ruling.Watch, Judged("25@1/250@16ms", takes).Ruling);
    }

    [Fact]
    public void Locks_that_share_no_frequency_settle_each_other()
    {
        // What stands at 29.97 and at 25 frames a second at once, over a 20 s beat, is faster than 1/50 s lets through at more than a few tenths of a percent.
        TakeMeasurement[] takes = [Take("25@1/50@16ms", Bound), Take("29.97@1/50@16ms", Bound)];
        Assert.All(takes, t => Assert.InRange(StandingLight.Bound(t, takes)!.Value, Limit, 0.011));
    }

    [Fact]
    public void A_take_that_proves_nothing_settles_nothing()
    {
        Finding moved = new(FindingCodes.Unexplained, "Something moved.") { ForbidsPass = true };
        TakeMeasurement[] takes = [Take("25@1/250@16ms", Bound), Take("29.97@1/250@16ms", null, null, moved)];
        Assert.False(StandingLight.IsSettled(takes[0], takes));
        Assert.Equal(Bound, StandingLight.Bound(takes[0], takes)!.Value, 6);
    }

    [Fact]
    public void A_half_wave_lamp_is_settled_through_a_shutter_that_shows_it_or_the_very_same_one()
    {
        // 1/50 s averages 50 Hz away: it says nothing of what 1/250 s would show.
        TakeMeasurement[] blind = [Take("25@1/250@16ms", null, 0.1), Take("29.97@1/50@16ms", null)];
        Assert.False(StandingLight.IsSettled(blind[0], blind));
        Assert.EndsWith("shoot one more take at another frame rate.", Assert.Single(HalfWaveLight.Doubts(blind)).Message, StringComparison.Ordinal);

        TakeMeasurement[] seeing = [Take("25@1/250@16ms", null, 0.1), Take("29.97@1/120@16ms", null)];
        Assert.True(StandingLight.IsSettled(seeing[0], seeing));
        Assert.Empty(HalfWaveLight.Doubts(seeing));

        // But what would stand at 1/50 s would move there at another rate, as strong.
        TakeMeasurement[] same = [Take("25@1/50@16ms", null, 0.0196), Take("29.97@1/50@16ms", null)];
        Assert.True(StandingLight.IsSettled(same[0], same));
        Assert.Single(HalfWaveLight.Doubts(same[..1]));
    }

    [Fact]
    public void What_was_seen_stays_seen()
    {
        TakeMeasurement seen = Take("25@1/250@16ms", Bound) with { ModulationDepth = new Estimate(0.04, 0.035, 0.14), IfNothingStands = new MovingOnly(new Estimate(0.04, 0.035, 0.045), Limit) };
        FormatForecast forecast = new(seen.Take, Estimate.AtMost(0.5), default, [], null, Appearance.Nothing, []);
        Estimate depth = DirectMeasurement.Apply(forecast, [seen, Take("29.97@1/250@16ms", null)]).ModulationDepth;
        Assert.Equal(new Estimate(0.04, 0.035, 0.045), depth);
        Assert.Equal(0.14, DirectMeasurement.Apply(forecast, [seen]).ModulationDepth.High, 6);
    }

    [Fact]
    public void What_a_take_at_the_setting_could_not_show_others_may_rule_out()
    {
        FormatForecast forecast = new(CameraFormat.Parse("25@1/100@16ms"), Estimate.AtMost(0.008), default, [], null, Appearance.Nothing, []);
        TakeMeasurement crushed = Take("25@1/100@16ms", null) with { ModulationDepth = Estimate.AtMost(0.4), DetectionLimit = 0.4 }, sound = Take("29.97@1/500@16ms", null);
        Assert.Equal(0.008, DirectMeasurement.Apply(forecast, [crushed, sound]).ModulationDepth.High, 6);
        // By itself it rules out no more than it could show, and a spoilt take adds nothing.
        Assert.Equal(0.4, DirectMeasurement.Apply(forecast, [crushed]).ModulationDepth.High, 6);
        Finding moved = new(FindingCodes.Unexplained, "Something moved.") { ForbidsPass = true };
        Assert.Equal(0.4, DirectMeasurement.Apply(forecast, [crushed, sound with { Findings = [moved] }]).ModulationDepth.High, 6);
    }

    [Fact]
    public void What_a_take_at_the_setting_showed_no_other_talks_away()
    {
        FormatForecast forecast = new(CameraFormat.Parse("25@1/100@16ms"), Estimate.AtMost(0.008), default, [], null, Appearance.Nothing, []);
        TakeMeasurement flickering = Take("25@1/100@16ms", null) with { ModulationDepth = new Estimate(0.05, 0.04, 0.06) };
        Estimate depth = DirectMeasurement.Apply(forecast, [flickering, Take("29.97@1/500@16ms", null)]).ModulationDepth;
        Assert.Equal(new Estimate(0.05, 0.04, 0.06), depth);
    }
}
