using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>The clock against what was done to it: known drops, repeats, jitter, other rates; and its line against a general library's.</summary>
public class SensorClockTests
{
    private static readonly FrameRate Rate = FrameRate.Parse("30000/1001");

    private static SensorClock Recover(IEnumerable<double> frames, double resolution = 1e-6, bool users = false, float[]? unchanged = null)
    {
        double[] seconds = [.. frames.Select(f => Math.Round(f * Rate.PeriodSeconds / resolution) * resolution)];
        return SensorClock.Recover(new FrameTimes(seconds, resolution), seconds.Length, Rate, users, unchanged ?? []);
    }

    private static IEnumerable<double> Regular(int count) => Enumerable.Range(0, count).Select(n => (double)n);

    [Fact]
    public void A_regular_clip_has_nothing_to_say()
    {
        SensorClock clock = Recover(Regular(150));
        Assert.Equal(Enumerable.Range(0, 150), clock.Ticks);
        Assert.Equal(Rate.Hertz, clock.TickHz);
        Assert.Equal(Rate.Hertz * SensorClock.CrystalDeviation, clock.TickHzDeviation, 1e-12);
        Assert.Empty(clock.Findings);
    }

    [Fact]
    public void Without_time_stamps_the_count_is_the_clock()
    {
        SensorClock clock = SensorClock.Recover(new FrameTimes(null, 0), 90, Rate, false, []);
        Assert.Equal(Enumerable.Range(0, 90), clock.Ticks);
        Assert.Empty(clock.Findings);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Dropped_frames_leave_gaps_where_they_were(int seed)
    {
        var random = new Random(seed);
        int[] kept = [.. Enumerable.Range(0, 200).Where(n => n is 0 or 199 || random.NextDouble() > 0.06)];
        SensorClock clock = Recover(kept.Select(n => n + 0.05 * (random.NextDouble() - 0.5)), resolution: 1e-3);
        Assert.Equal(kept, clock.Ticks);
        Assert.Equal(Rate.Hertz, clock.TickHz);
        Assert.Contains(clock.Findings, f => f.Code == FindingCodes.DroppedFrames && f.Message.StartsWith($"{200 - kept.Length} frames", StringComparison.Ordinal));
    }

    [Fact]
    public void Jitter_is_undone_and_named()
    {
        var random = new Random(4);
        SensorClock clock = Recover(Regular(150).Select(n => n + 0.4 * (random.NextDouble() - 0.5)));
        Assert.Equal(Enumerable.Range(0, 150), clock.Ticks);
        Assert.Equal(Rate.Hertz, clock.TickHz);
        Assert.Contains(clock.Findings, f => f.Code == FindingCodes.VariableRate);
    }

    [Fact]
    public void A_millisecond_time_base_is_no_jitter_of_the_sensor()
    {
        SensorClock clock = Recover(Regular(300), resolution: 1e-3);
        Assert.Equal(Enumerable.Range(0, 300), clock.Ticks);
        Assert.Equal(Rate.Hertz, clock.TickHz);
        Assert.DoesNotContain(clock.Findings, f => f.ForbidsPass);
    }

    [Theory]
    [InlineData(1.004)]
    [InlineData(0.97)]
    public void Stamps_that_contradict_the_stated_rate_are_believed_within_their_own_spread(double stretch)
    {
        var random = new Random(5);
        double[] frames = [.. Regular(250).Select(n => stretch * n + 0.01 * (random.NextDouble() - 0.5))];
        SensorClock clock = Recover(frames);

        // The line's slope by a general library.
        double slope = MathNet.Numerics.Fit.Line([.. Regular(250)], [.. frames.Select(f => f * Rate.PeriodSeconds)]).B;
        Assert.Equal(1 / slope, clock.TickHz, 1e-6);
        Assert.InRange(Math.Abs(clock.TickHz - Rate.Hertz / stretch), 0, 3 * clock.TickHzDeviation);
        Assert.Contains(clock.Findings, f => f.Code == FindingCodes.VariableRate);
    }

    [Fact]
    public void A_rate_that_changes_keeps_its_longest_steady_stretch()
    {
        // 60 frames at the rate, then 140 at half of it: a phone in dim light.
        double[] frames = [.. Enumerable.Range(0, 60).Select(n => (double)n), .. Enumerable.Range(0, 140).Select(n => 60 + 2.0 * n + 0.6 * (n % 2))];
        SensorClock clock = Recover(frames);
        Assert.Contains(clock.Findings, f => f.Code is FindingCodes.VariableRate or FindingCodes.DroppedFrames);
        // Whatever was kept, a kept frame's time is that of its tick.
        double origin = frames[clock.FrameIndices[0]];
        for (int i = 0; i < clock.FrameIndices.Length; i++)
            Assert.InRange(frames[clock.FrameIndices[i]] - origin - clock.Ticks[i] * Rate.Hertz / clock.TickHz, -1, 1);
    }

    [Fact]
    public void Repeated_frames_are_left_out()
    {
        float[] unchanged = [.. Enumerable.Range(0, 120).Select(n => n is 30 or 31 or 77 ? 1f : 0.2f)];
        SensorClock clock = Recover(Regular(120), unchanged: unchanged);
        Assert.Equal(117, clock.FrameIndices.Length);
        Assert.DoesNotContain(clock.FrameIndices, n => n is 30 or 31 or 77);
        Assert.Equal(clock.FrameIndices, clock.Ticks);
        Finding finding = Assert.Single(clock.Findings);
        Assert.Equal(FindingCodes.DroppedFrames, finding.Code);
        Assert.False(finding.ForbidsPass);
    }

    [Theory] // 24 made 30: every fifth shown twice; 25 made 50: every second. Common practice, no source.
    [InlineData(5)]
    [InlineData(2)]
    public void A_steady_pattern_of_repeats_is_a_conversion_and_forbids_a_pass(int every)
    {
        float[] unchanged = [.. Enumerable.Range(0, 150).Select(n => n % every == every - 1 ? 1f : 0.25f)];
        Assert.Contains(Recover(Regular(150), unchanged: unchanged).Findings, f => f is { Code: FindingCodes.DroppedFrames, ForbidsPass: true });
    }

    [Fact]
    public void A_crushed_clip_of_little_change_is_not_taken_for_repeats() =>
        Assert.Equal(150, Recover(Regular(150), unchanged: [.. Enumerable.Range(0, 150).Select(n => 0.96f + 0.03f * (n % 3))]).FrameIndices.Length);

    // A phone that lengthens its frames part of the way: by 2, 8 and 50 per cent; stamps to the microsecond and to the millisecond.
    [Theory]
    [InlineData(1.02, 1e-6)]
    [InlineData(1.08, 1e-6)]
    [InlineData(1.08, 1e-3)]
    [InlineData(1.5, 1e-6)]
    public void Of_a_clip_with_two_rates_no_frame_of_the_other_is_used(double stretch, double resolution)
    {
        const int before = 70, after = 130;
        IEnumerable<double> frames = Enumerable.Range(0, before + after).Select(n => n <= before ? n : before + stretch * (n - before));
        SensorClock clock = Recover(frames, resolution);
        Assert.InRange(clock.FrameIndices[0], before, before + 8);
        Assert.Equal(before + after - 1, clock.FrameIndices[^1]);
        Assert.Equal(Enumerable.Range(0, clock.Ticks.Length), clock.Ticks);
        Assert.Equal(Rate.Hertz / stretch, clock.TickHz, 5 * clock.TickHzDeviation + 1e-6);
        Assert.Contains(clock.Findings, f => f.Code == FindingCodes.VariableRate);
    }

    [Fact]
    public void Stamps_without_any_rate_end_in_bounded_time()
    {
        var random = new Random(8);
        double at = 0;
        double[] seconds = [.. Enumerable.Range(0, 20_000).Select(_ => at += random.NextDouble() < 0.5 ? 0.011 : 0.09)];
        SensorClock clock = SensorClock.Recover(new FrameTimes(seconds, 1e-6), seconds.Length, Rate, false, []);
        Assert.InRange(clock.FrameIndices.Length, 1, seconds.Length);
    }
}
