using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Tests.Prediction;
using FlickerProbe.Units;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Verdict;

public class JudgeTests
{
    private static readonly CameraFormat Hall = CameraFormat.Parse("25@1/50@16ms");

    private static FormatForecast Forecast(Estimate depth, Estimate pulsing = default, params Finding[] doubts) =>
        new(Hall, depth, pulsing, [], null, Appearance.Nothing, doubts);

    private static TakeMeasurement Take(string format, Estimate? depth, params Finding[] findings) =>
        new(CameraFormat.Parse(format), 100, 100, new SignalLevel(0.5, 0.6, 0, 0), depth, null, 0.001, 0.2, null, [], findings);

    [Theory] // The rule itself: pass only under the line with the upper end, fail only over the line with the lower end.
    [InlineData(0.004, 0.002, 0.0099, Ruling.Pass)]
    [InlineData(0.004, 0.002, 0.0100, Ruling.Watch)]
    [InlineData(0.004, 0.002, 0.5, Ruling.Watch)]
    [InlineData(0.035, 0.0300, 0.04, Ruling.Watch)]
    [InlineData(0.035, 0.0301, 0.04, Ruling.Fail)]
    [InlineData(0.02, 0.015, 0.025, Ruling.Watch)]
    public void Depth_against_the_default_lines(double value, double low, double high, Ruling ruling)
    {
        Judgement judgement = Judge.Format(Forecast(new Estimate(value, low, high)), Policy.Default);
        Assert.Equal(ruling, judgement.Ruling);
        Assert.Equal(ruling switch { Ruling.Pass => FindingCodes.UnderPassLine, Ruling.Fail => FindingCodes.OverFailLine, _ => FindingCodes.BetweenLines }, judgement.Reasons[0].Code);
        Assert.Contains("0.85 %", judgement.Reasons[0].Source, StringComparison.Ordinal);
    }

    [Theory] // Pass line 0.5 %: lowest threshold of de Lange 1958, 0.499 % at 7 Hz (digitised data). Fail line: the project's own choice.
    [InlineData(0.003, 0.002, 0.0049, Ruling.Pass)]
    [InlineData(0.003, 0.002, 0.0051, Ruling.Watch)]
    [InlineData(0.02, 0.016, 0.03, Ruling.Fail)]
    public void Pulsing_has_its_own_tighter_lines(double value, double low, double high, Ruling ruling)
    {
        Judgement judgement = Judge.Format(Forecast(new Estimate(0.004, 0.003, 0.005), new Estimate(value, low, high)), Policy.Default);
        Assert.Equal(ruling, judgement.Ruling);
        Reason pulsing = judgement.Reasons.First(r => r.Message.Contains("pulsing", StringComparison.Ordinal));
        Assert.Contains("de Lange 1958", pulsing.Source, StringComparison.Ordinal);
        if (ruling != Ruling.Pass) Assert.Same(pulsing, judgement.Reasons[0]);
    }

    [Fact]
    public void A_finding_that_forbids_a_pass_turns_it_into_a_watch_with_that_reason_first()
    {
        Finding clipped = new(FindingCodes.Clipped, "12 % of the region is clipped: close the iris and shoot again.") { ForbidsPass = true };
        FormatForecast fine = Forecast(new Estimate(0.001, 0, 0.002));
        Judgement judgement = Judge.Format(fine, [Take("25@1/250", new Estimate(0.001, 0, 0.002), clipped)], Policy.Default);
        Assert.Equal(Ruling.Watch, judgement.Ruling);
        Assert.Equal(FindingCodes.Clipped, judgement.Reasons[0].Code);
        Assert.Equal(Ruling.Pass, Judge.Format(fine, [Take("25@1/250", null, clipped with { ForbidsPass = false })], Policy.Default).Ruling);
    }

    [Fact]
    public void A_forbidding_finding_does_not_excuse_a_fail()
    {
        Finding dark = new(FindingCodes.Dark, "The region is too dark.") { ForbidsPass = true };
        Assert.Equal(Ruling.Fail, Judge.Format(Forecast(new Estimate(0.2, 0.1, 0.3)), [Take("25@1/250", null, dark)], Policy.Default).Ruling);
    }

    [Fact]
    public void Without_a_take_there_is_no_pass() =>
        Assert.Equal(Ruling.Watch, Judge.Format(Forecast(new Estimate(0, 0, 0.001)), [], Policy.Default).Ruling);

    [Fact]
    public void A_take_at_the_very_format_speaks_for_itself()
    {
        // The forecast alone would be a watch: its source amplitude had to be divided by a small gain.
        FormatForecast wide = Forecast(new Estimate(0.02, 0.0, 0.06));
        Assert.Equal(Ruling.Pass, Judge.Format(wide, [Take("25@1/50", new Estimate(0.004, 0.003, 0.005))], Policy.Default).Ruling);
        Assert.Equal(Ruling.Watch, Judge.Format(wide, [Take("25@1/100", new Estimate(0.004, 0.003, 0.005))], Policy.Default).Ruling);
    }

    [Fact]
    public void Bands_that_another_take_shows_to_move_are_no_reason_any_more()
    {
        Finding locked = new(FindingCodes.LockedBands, "Bands may stand still.");
        FormatForecast open = Forecast(new Estimate(0.004, 0, 0.4));
        TakeMeasurement first = Take("25@1/250", null, locked) with { LockedBound = 0.4 }, second = Take("29.97@1/250", null);
        bool Named(params TakeMeasurement[] takes) => Judge.Format(open, takes, Policy.Default).Reasons.Any(r => r.Code == FindingCodes.LockedBands);
        Assert.True(Named(first));
        Assert.True(Named(first, first with { Frames = 200 })); // the same rate again: they would stand still again
        Assert.False(Named(first, second));
        // Other doubts of that take stay, and so does one that forbids a pass.
        Finding crushed = new(FindingCodes.CrushedRecording, "Crushed.");
        Assert.Contains(Judge.Format(open, [first with { Findings = [locked, crushed] }, second], Policy.Default).Reasons, r => r.Code == FindingCodes.CrushedRecording);
        Assert.True(Named(first with { Findings = [locked with { ForbidsPass = true }] }, second));
    }

    [Fact]
    public void Levels_and_fixtures_are_as_good_as_their_worst_part()
    {
        Judgement pass = Judge.Format(Forecast(new Estimate(0, 0, 0.002)), Policy.Default), fail = Judge.Format(Forecast(new Estimate(0.2, 0.1, 0.3)), Policy.Default);
        Judgement level = Judge.Level([("25 fps at 1/50 s", pass), ("25 fps at 1/100 s", fail)]);
        Assert.Equal(Ruling.Fail, level.Ruling);
        Assert.StartsWith("25 fps at 1/100 s: ", level.Reasons[0].Message, StringComparison.Ordinal);
        Assert.Equal(Ruling.Watch, Judge.Fixture([("100 %", pass), ("10 %", Judge.NothingToJudge("There is no take at 10 %."))]).Ruling);
        Assert.Equal(Ruling.Watch, Judge.Fixture([]).Ruling);
    }

    [Fact]
    public void The_worst_part_gives_up_to_three_reasons_and_every_other_one()
    {
        Judgement many = new(Ruling.Watch, [.. Enumerable.Range(1, 5).Select(i => new Reason($"code-{i}", $"watch {i}."))]), fine = new(Ruling.Pass, [new Reason("a", "pass 1."), new Reason("b", "pass 2.")]);
        Judgement level = Judge.Level([("first", fine), ("second", many)]);
        Assert.Equal(["second: watch 1.", "second: watch 2.", "second: watch 3.", "first: pass 1."], level.Reasons.Select(r => r.Message));
        // One part alone needs no name, nor does one without.
        Assert.Equal(["watch 1.", "watch 2.", "watch 3."], Judge.Level([("second", many)]).Reasons.Select(r => r.Message));
        Assert.Equal(["watch 1.", "watch 2.", "watch 3.", "first: pass 1."], Judge.Level([("", many), ("first", fine)]).Reasons.Select(r => r.Message));
        Assert.Equal("No format was judged at this level.", Judge.Level([]).Reasons.Single().Message);
        Assert.Equal("No level of this fixture was measured.", Judge.Fixture([]).Reasons.Single().Message);
    }

    [Fact]
    public void What_widened_the_interval_is_the_first_reason_for_a_watch_and_no_word_beside_a_pass()
    {
        Finding hidden = new(FindingCodes.HiddenAtShutter, "The shutter hides it.");
        Assert.Equal(FindingCodes.HiddenAtShutter, Judge.Format(Forecast(new Estimate(0.004, 0, 0.4), doubts: hidden), Policy.Default).Reasons[0].Code);
        // Flicker that was seen comes before what might be hidden.
        Assert.Equal(FindingCodes.HiddenAtShutter, Judge.Format(Forecast(new Estimate(0.02, 0, 0.4), doubts: hidden), Policy.Default).Reasons[^1].Code);
        Assert.DoesNotContain(Judge.Format(Forecast(new Estimate(0.004, 0, 0.005), doubts: hidden), Policy.Default).Reasons, r => r.Code == FindingCodes.HiddenAtShutter);
        Assert.DoesNotContain(Judge.Format(Forecast(new Estimate(0.5, 0.4, 0.6), doubts: hidden), Policy.Default).Reasons, r => r.Code == FindingCodes.HiddenAtShutter);
    }

    [Fact]
    public void A_hazard_to_viewers_is_told_whatever_the_ruling()
    {
        Finding hazard = new(FindingCodes.ViewerFlashHazard, "It flashes.");
        foreach (Estimate depth in new Estimate[] { new(0.001, 0, 0.002), new(0.02, 0.01, 0.4), new(0.5, 0.4, 0.6) })
            Assert.Contains(Judge.Format(Forecast(depth, doubts: hazard), Policy.Default).Reasons, r => r.Code == FindingCodes.ViewerFlashHazard);
    }

    [Fact]
    public void Pulsing_is_spoken_of_only_where_there_is_any()
    {
        static bool Speaks(Judgement judgement) => judgement.Reasons.Any(r => r.Message.Contains("pulsing", StringComparison.Ordinal));
        Assert.False(Speaks(Judge.Format(Forecast(new Estimate(0.001, 0, 0.002)), Policy.Default)));
        Assert.True(Speaks(Judge.Format(Forecast(new Estimate(0.001, 0, 0.002), new Estimate(0.001, 0, 0.002)), Policy.Default)));
        Assert.True(Speaks(Judge.Format(Forecast(new Estimate(0.001, 0, 0.002), new Estimate(0, 0, 0.2)), Policy.Default)));
    }
}
