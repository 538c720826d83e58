using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Sweep;

/// <summary>Truth is the script of the synthetic clip itself: which level was held from when to when.</summary>
public class LevelStepsTests
{
    private static readonly double[] SixDown = [1, 0.75, 0.5, 0.25, 0.1, 0.05];
    private static readonly double[] SixHolds = [8, 5, 6, 4, 9, 5];

    [Fact]
    public void Six_clean_steps_are_found_where_they_are() =>
        Holds(new SyntheticSweep { Levels = SixDown, HoldSeconds = SixHolds });

    [Fact]
    public void Steps_upwards_are_found() =>
        Holds(new SyntheticSweep { Levels = [.. SixDown.Reverse()], HoldSeconds = SixHolds });

    [Theory]
    [InlineData(0.5)]
    [InlineData(1.5)]
    [InlineData(3)]
    public void Fades_are_trimmed_off(double fadeSeconds) =>
        Holds(new SyntheticSweep { Levels = SixDown, HoldSeconds = SixHolds, FadeSeconds = fadeSeconds });

    [Fact]
    public void Very_uneven_lengths_are_found() =>
        Holds(new SyntheticSweep { Levels = SixDown, HoldSeconds = [20, 2, 12, 1.5, 30, 3], FadeSeconds = 0.7 });

    [Theory]
    [InlineData("25", 100.4)] // beats at 0.4 Hz
    [InlineData("29.97", 100)] // 10.09 Hz
    [InlineData("25", 120)] // −5 Hz
    [InlineData("50", 100.9)] // 0.9 Hz
    public void Pulsing_of_20_per_cent_does_not_hide_steps_of_10_per_cent(string rate, double hz) =>
        Holds(new SyntheticSweep
        {
            Rate = rate, Levels = [1, 0.9, 0.8, 0.7, 0.6, 0.5], HoldSeconds = [8, 6, 7, 6, 9, 6], FadeSeconds = 0.5,
            Ripples = [(hz, 0.2)], ReadoutSeconds = 0, // a global shutter: the whole picture pulses
        });

    [Fact]
    public void A_beat_of_eight_seconds_is_not_taken_for_steps() =>
        Holds(new SyntheticSweep
        {
            Rate = "59.94", Levels = [1, 0.7, 0.5, 0.3], HoldSeconds = [10, 9, 11, 10], FadeSeconds = 0.5,
            Ripples = [(120, 0.2)], ReadoutSeconds = 0,
        });

    [Fact]
    public void Deep_pulses_and_mains_ripple_together_do_not_disturb() =>
        Holds(new SyntheticSweep
        {
            Rate = "29.97", Levels = SixDown, HoldSeconds = SixHolds, FadeSeconds = 1,
            Ripples = [(1000.3, 0.8), (100, 0.3), (200, 0.1)], ReadoutSeconds = 0.004,
        });

    [Fact]
    public void A_light_dimmed_to_one_per_cent_still_counts() =>
        Holds(new SyntheticSweep { Levels = [1, 0.3, 0.1, 0.03, 0.01], HoldSeconds = [6, 6, 6, 6, 6], FadeSeconds = 1, RowNoise = 0.002 });

    [Fact]
    public void A_shadow_that_passes_does_not_make_two_levels_of_one() =>
        Holds(new SyntheticSweep
        {
            Levels = [1, 0.5, 0.25], HoldSeconds = [9, 8, 8], FadeSeconds = 0.5,
            Disturbance = t => t is > 3 and < 3.6 ? 0.6 : 1,
        }, mayBeShort: true);

    [Fact]
    public void A_lamp_that_warms_by_three_per_cent_stays_one_level() =>
        Holds(new SyntheticSweep
        {
            Levels = [1, 0.5, 0.25], HoldSeconds = [12, 8, 8], FadeSeconds = 0.5, Disturbance = t => 1 - 0.03 * Math.Min(t, 12) / 12,
        });

    [Theory]
    [InlineData(5)]
    [InlineData(7)]
    public void A_wrong_number_of_levels_is_refused_and_nothing_assigned(int listed)
    {
        LevelStepsReading reading = LevelSteps.Find(new SyntheticSweep { Levels = SixDown, HoldSeconds = SixHolds, FadeSeconds = 1 }.Make(),
            [.. Enumerable.Range(0, listed).Select(i => 1 - 0.1 * i)]);
        Assert.Equal(6, reading.Stretches.Count);
        Assert.NotNull(reading.Problem);
        Assert.Equal(FindingCodes.SweepUnread, reading.Problem.Code);
        Assert.Contains($"lists {listed} levels but the clip shows 6 steady stretches", reading.Problem.Message, StringComparison.Ordinal);
        Assert.All(reading.Stretches, s => Assert.Null(s.Dimmer));
        Assert.Equal(1050, reading.FrameLevels.Length);
    }

    [Fact]
    public void Levels_listed_the_wrong_way_round_are_refused()
    {
        LevelStepsReading reading = LevelSteps.Find(new SyntheticSweep { Levels = [1, 0.5, 0.25] }.Make(), [0.25, 0.5, 1]);
        Assert.Contains("gets darker", reading.Problem!.Message, StringComparison.Ordinal);
        Assert.All(reading.Stretches, s => Assert.Null(s.Dimmer));
    }

    [Fact]
    public void A_slow_fade_without_a_hold_is_no_stretch()
    {
        LevelStepsReading reading = LevelSteps.Find(
            new SyntheticSweep { Levels = [1, 0.05], HoldSeconds = [0.1, 0.1], FadeSeconds = 15 }.Make(), [1, 0.05]);
        Assert.NotNull(reading.Problem);
        Assert.All(reading.Stretches, s => Assert.True(s.FrameCount < 50, $"a fade was taken for {s.FrameCount} steady frames"));
    }

    [Fact]
    public void A_steady_clip_is_one_stretch()
    {
        LevelStepsReading reading = LevelSteps.Find(new SyntheticSweep { Levels = [1], HoldSeconds = [10] }.Make(), [1]);
        Assert.Null(reading.Problem);
        Assert.Equal((0, 250), (reading.Stretches[0].FirstFrame, reading.Stretches[0].FrameCount));
    }

    [Fact]
    public void Twenty_scripts_with_chance_lengths_and_noise_come_out_right()
    {
        var random = new Random(20260);
        for (int seed = 0; seed < 20; seed++)
        {
            double[] holds = [.. Enumerable.Range(0, 6).Select(_ => 4 + 8 * random.NextDouble())];
            Holds(new SyntheticSweep
            {
                Rate = seed % 2 == 0 ? "29.97" : "50", Levels = SixDown, HoldSeconds = holds, FadeSeconds = 2 * random.NextDouble(),
                Ripples = [(100 + 20 * (seed % 2) + random.NextDouble(), 0.25 * random.NextDouble())],
                ReadoutSeconds = 0.02 * random.NextDouble(), RowNoise = 0.002, Seed = seed,
            });
        }
    }

    private static void Holds(SyntheticSweep script, bool mayBeShort = false)
    {
        SampledTake take = script.Make();
        LevelStepsReading reading = LevelSteps.Find(take, script.Levels);
        Assert.True(reading.Problem is null, reading.Problem?.Message);
        Assert.Equal(script.Levels, reading.Stretches.Select(s => s.Dimmer!.Value));
        for (int i = 0; i < script.Levels.Length; i++)
        {
            LevelStretch found = reading.Stretches[i];
            (double from, double to) = script.Holds[i];
            double first = found.FirstFrame * reading.FramePeriodSeconds, last = (found.FirstFrame + found.FrameCount) * reading.FramePeriodSeconds;
            // No more of a fade inside than moves the light by the smallest step; and most of the hold kept.
            foreach (double end in new[] { first, last - reading.FramePeriodSeconds })
                Assert.True(Math.Abs(script.LevelAt(end) / script.Levels[i] - 1) < 1.2 * LevelSteps.SmallestStep, $"level {i}: {first:0.00}–{last:0.00} s reaches over {from:0.00}–{to:0.00} s");
            Assert.True(mayBeShort || last - first > 0.7 * (to - from) - 0.5, $"level {i}: only {first:0.00}–{last:0.00} s of {from:0.00}–{to:0.00} s");
            Assert.InRange(found.Level / (script.Levels[i] * script.Full), 0.94, 1.06);
        }
    }
}
