using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Tests.Prediction;
using FlickerProbe.Units;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Verdict;

public class AdviceTests
{
    private static readonly BlindSpot Fast = TestLights.Take("25", 1 / 250.0, 0.0005);

    /// <summary>The take behind a blind spot, in which nothing was found.</summary>
    private static TakeMeasurement Shot(BlindSpot blind) => new(
        new CameraFormat(blind.Rate, blind.ExposureSeconds is { } s ? ExposureTime.FromSeconds(s) : null, ReadoutTime.FromSeconds(0.016)), 250, 250, new SignalLevel(0.6, 0.7, 0, 0),
        Estimate.AtMost(blind.LimitAtAnyRate), null, blind.LimitAtAnyRate, blind.SlowestBeatHz, blind.LockedBound, [], [])
    {
        IfNothingStands = blind.LockedBound is null ? null : new MovingOnly(Estimate.AtMost(blind.DetectionLimit), blind.DetectionLimit),
    };

    private static NextTake? Next(LightEstimate light, params string[] house) =>
        NextTake.Suggest(light, [.. light.Blind.Select(Shot)], [.. house.Select(CameraFormat.Parse)], Policy.Default);

    [Fact]
    public void When_something_may_hide_the_next_take_lifts_the_bound_of_the_house_format()
    {
        CameraFormat house = CameraFormat.Parse("25@1/60");
        NextTake next = Next(TestLights.Nothing(Fast), "25@1/60")!;
        // Following the advice must really settle the question.
        BlindSpot followed = new(0.0005, next.Rate, next.Exposure.Seconds, 0.016, 0.1, null);
        Assert.Equal(Ruling.Watch, Judge.Format(Forecaster.Forecast(TestLights.Nothing(Fast), house), Policy.Default).Ruling);
        Assert.Equal(Ruling.Pass, Judge.Format(Forecaster.Forecast(TestLights.Nothing(Fast, followed), house), Policy.Default).Ruling);
        Assert.Contains("shutter 1/60 s", next.Sentence, StringComparison.Ordinal);
        Assert.Contains("25 fps at 1/60 s", next.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void When_frequencies_remain_the_next_take_tells_them_apart()
    {
        // 100 and 125 Hz look alike at 25 frames a second; they do not at 29.97.
        LightComponent tone = new(Estimate.Exactly(100), Estimate.Exactly(0.3), null, ComponentState.Ambiguous, [100, 125, 150], null, null);
        LightEstimate light = TestLights.Of([tone], Fast);
        NextTake next = Next(light, "25@1/250")!;
        double[] aliases = [.. tone.CandidatesHz.Select(c => Math.Abs(AliasFrequency.Of(c, next.Rate)))];
        Assert.Equal(3, aliases.Select(a => Math.Round(a, 2)).Distinct().Count());
        Assert.All(tone.CandidatesHz, c => Assert.True(Math.Abs(ExposureGain.At(c, next.Exposure.Seconds)) > 0.02));
        Assert.Contains("100, 125, 150 Hz", next.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void Bands_that_may_be_locked_ask_for_another_frame_rate()
    {
        LightEstimate light = TestLights.Nothing(TestLights.Take("25", 1 / 60.0, 0.0005, locked: 0.05));
        NextTake next = Next(light, "25@1/60")!;
        Assert.NotEqual(FrameRate.Parse("25"), next.Rate);
    }

    [Theory] // The pass line is 1 %. What was found and what may be hidden add up, to more than that only in the middle.
    [InlineData(0.0002, false)]
    [InlineData(0.004, true)]
    [InlineData(0.0095, false)] // so near the line that no take brings it under
    public void What_the_light_takes_of_the_pass_line_is_not_left_for_what_may_be_hidden(double depth, bool isOpen)
    {
        BlindSpot take = TestLights.Take("25", 1 / 250.0, depth > 0.009 ? 0.002 : 0.008);
        LightEstimate light = TestLights.Sine(100, depth, take);
        TakeMeasurement shot = Shot(take) with { ModulationDepth = new Estimate(depth, depth, depth + take.DetectionLimit) };
        NextTake? next = NextTake.Suggest(light, [shot], [CameraFormat.Parse("25@1/250@16ms")], Policy.Default);
        Assert.Equal(isOpen, next is not null);
    }

    [Fact]
    public void When_nothing_is_open_there_is_no_next_take() =>
        Assert.Null(Next(TestLights.Nothing(Fast), "25@1/250"));

    /// <summary>A take of a steady light at a setting, spoilt as it was recorded: by what it could not have shown, or by a finding.</summary>
    private static TakeMeasurement Spoilt(string format, double limit, Finding? finding = null, Estimate? depth = null) =>
        Shot(new BlindSpot(limit, CameraFormat.Parse(format).Rate, CameraFormat.Parse(format).Exposure!.Seconds, 0.016, 0.1, null)) with
        {
            Findings = finding is null ? [] : [finding],
            ModulationDepth = depth ?? Estimate.AtMost(limit),
        };

    private static readonly Finding Clipped = new(FindingCodes.Clipped, "Clipped.") { ForbidsPass = true };

    private static NextTake? NextAfter(params TakeMeasurement[] takes) =>
        NextTake.Suggest(TestLights.Nothing([.. takes.Select(t => t.Blind)]), takes, [takes[^1].Take], Policy.Default);

    [Fact]
    public void A_take_that_its_own_recording_spoilt_is_shot_again()
    {
        // No other setting shows more than a recording that hides 3 % itself.
        NextTake crushed = NextAfter(Spoilt("25@1/50", 0.03))!;
        Assert.StartsWith("Shoot the take at 25 frames per second and shutter 1/50 s again, at least 10 seconds", crushed.Sentence, StringComparison.Ordinal);
        Assert.Contains("flicker of up to 3.0 % could have gone unseen", crushed.Why, StringComparison.Ordinal);
        Assert.Equal((25, 0.02), (crushed.Rate.Hertz, crushed.Exposure.Seconds));
        // One that could have shown all that matters, were it not for what forbids a pass.
        NextTake clipped = NextAfter(Spoilt("25@1/50", 0.001, Clipped))!;
        Assert.StartsWith("Shoot the take at 25 frames per second and shutter 1/50 s again", clipped.Sentence, StringComparison.Ordinal);
        Assert.Contains("can't earn a pass", clipped.Why, StringComparison.Ordinal);
        Assert.Null(NextAfter(Spoilt("25@1/50", 0.001)));
        Assert.Null(NextAfter(Spoilt("25@1/50", 0.001, Clipped with { ForbidsPass = false })));
    }

    [Fact]
    public void A_spoilt_take_that_shows_flicker_for_sure_is_not_shot_again()
    {
        // 2 % stay 2 % however well they are recorded.
        Assert.Null(NextAfter(Spoilt("25@1/50", 0.001, Clipped, new Estimate(0.02, 0.015, 0.025))));
        Assert.NotNull(NextAfter(Spoilt("25@1/50", 0.001, Clipped, new Estimate(0.02, 0, 0.025))));
    }

    [Fact]
    public void A_sound_take_of_another_setting_comes_before_a_spoilt_one_of_its_own()
    {
        // The clipped take at 1/60 s settles nothing, so what the sound one hides is still open there.
        NextTake next = NextAfter(Spoilt("25@1/250", 0.0005), Spoilt("25@1/60", 0.0005, Clipped))!;
        Assert.StartsWith("Shoot one more take", next.Sentence, StringComparison.Ordinal);
        // With nothing sound the spoilt ones say what was shot.
        Assert.DoesNotContain("no take has a known shutter", NextAfter(Spoilt("25@1/250", 0.0005, Clipped))!.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void A_setting_whose_take_was_spoilt_is_asked_for_again_in_place_of_the_old_one_and_not_for_ever()
    {
        TakeMeasurement sound = Spoilt("25@1/250", 0.0005);
        NextTake After(params TakeMeasurement[] spoilt) => NextTake.Suggest(TestLights.Nothing(sound.Blind), [sound, .. spoilt], [CameraFormat.Parse("25@1/60")], Policy.Default)!;

        NextTake first = After();
        TakeMeasurement spoilt = Spoilt(FormattableString.Invariant($"{first.Rate}@{first.Exposure.Seconds}s"), 0.0005, Clipped);
        bool IsThere(NextTake next) => next.Rate == first.Rate && next.Exposure.IsSameSetting(first.Exposure);
        Assert.StartsWith("Shoot one more take of this light", first.Sentence, StringComparison.Ordinal);
        // Somebody who failed there once may do better; who failed often is asked for something else.
        NextTake once = After(spoilt), often = After(spoilt, spoilt, spoilt, spoilt);
        Assert.Equal(IsThere(once), once.Sentence.StartsWith("Shoot the take at", StringComparison.Ordinal));
        Assert.False(IsThere(often));
    }

    [Theory]
    [InlineData("59.94@1/1000@global", "25")] // a lamp on 60 Hz beats at 0.12 Hz here
    [InlineData("25@1/1000@global", "29.97")] // one on 50 Hz stands still, or nearly
    public void A_drift_that_may_be_the_lights_own_beat_asks_for_another_rate(string shot, string asked)
    {
        Finding drift = new(FindingCodes.LevelDrift, "The level wandered.") { ForbidsPass = true };
        CameraFormat format = CameraFormat.Parse(shot);
        TakeMeasurement take = Shot(new BlindSpot(0.012, format.Rate, format.Exposure!.Seconds, 0, FrequencyCandidates.SlowestRollingHz, 1)) with { Take = format, Findings = [drift], ModulationDepth = Estimate.AtMost(1) };
        NextTake next = NextAfter(take)!;
        Assert.Equal(asked, next.Rate.ToShortText());
        Assert.StartsWith("Shoot one more take", next.Sentence, StringComparison.Ordinal);
        Assert.Contains("may be the light's own beat", next.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void Takes_without_a_known_shutter_ask_for_one_that_has()
    {
        LightEstimate light = TestLights.Nothing(Fast with { ExposureSeconds = null });
        NextTake next = Next(light, "25@1/50")!;
        Assert.Equal(0.02, next.Exposure.Seconds, 9);
        Assert.Equal(FrameRate.Parse("25"), next.Rate);
        Assert.Equal("So far no take has a known shutter, so nothing can be said of any other setting.", next.Why);
        // Without any known shutter at all there is no setting to name.
        Assert.Null(NextTake.Suggest(light, [.. light.Blind.Select(Shot)], [new CameraFormat(FrameRate.Parse("25"), null, null)], Policy.Default));
    }

    [Fact]
    public void A_shutter_that_only_a_spoilt_take_states_is_named_where_no_format_has_one()
    {
        TakeMeasurement unknown = Shot(Fast with { ExposureSeconds = null });
        NextTake next = NextTake.Suggest(TestLights.Nothing(Fast), [unknown, Spoilt("25@1/50", 0.001, Clipped)], [new CameraFormat(FrameRate.Parse("25"), null, null)], Policy.Default)!;
        Assert.Equal(0.02, next.Exposure.Seconds, 9);
        Assert.StartsWith("So far no take has a known shutter", next.Why, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1, 0.99, 3)] // settled
    [InlineData(50, 0, 3)]
    [InlineData(5, 1, 0.3495)] // log 5 / log 100
    [InlineData(0.5, 0.05, 0.5)]
    [InlineData(0.5, 0, 1)] // never more than one whole
    [InlineData(5000, 2, 1)]
    [InlineData(2, 2, 0)]
    [InlineData(2, 3, 0)]
    [InlineData(0.5, 0.6, 0)]
    public void What_is_settled_counts_most_and_what_is_lowered_its_share(double before, double after, double gain) =>
        Assert.Equal(gain, NextTake.Gain(before, after), 4);

    [Theory]
    [InlineData("25@1/250", 0.0, "100 125 150")] // all stand still
    [InlineData("29.97@1/250", 1.0, "100 125 150")]
    [InlineData("25@1/250", 0.6667, "100 125 130")] // only the third moves
    [InlineData("29.97@1/100", 0.0, "100 200")] // both at a null of the shutter
    [InlineData("29.97@1/100", 1.0, "100 150")] // one is seen, and tells
    [InlineData("25@1/250", 0.0, "105 105.15")]
    [InlineData("25@1/250", 1.0, "105 105.25")]
    [InlineData("25@1/250", 0.0, "105 120")] // 5 Hz up and 5 Hz down
    [InlineData("25@1/250", 0.0, "105")]
    public void Candidates_are_told_apart_by_visible_beats_of_different_pace(string setting, double share, string candidates) =>
        Assert.Equal(share, NextTake.ToldApart([.. candidates.Split(' ').Select(c => double.Parse(c, CultureInfo.InvariantCulture))], CameraFormat.Parse(setting)), 4);

    [Fact]
    public void The_reason_says_what_the_take_brings_and_no_more()
    {
        // Its own setting was shot; only what may stand still is open there.
        string moves = Next(TestLights.Nothing(TestLights.Take("25", 1 / 60.0, 0.0005, locked: 0.05)), "25@1/60")!.Why;
        Assert.Equal("Bands that stood still so far would move at this frame rate.", moves);
        // Takes that can't show less than 2 % lower the bound of another shutter and settle nothing.
        string narrows = Next(TestLights.Nothing(TestLights.Take("25", 1 / 250.0, 0.02)), "25@1/60")!.Why;
        Assert.Equal("It narrows down what the takes so far could have hidden.", narrows);
        // Four frequencies are named at most.
        LightComponent tone = new(Estimate.Exactly(100), Estimate.Exactly(0.3), null, ComponentState.Ambiguous, [100, 125, 150, 175, 200], null, null);
        string apart = Next(TestLights.Of([tone], Fast), "25@1/250")!.Why;
        Assert.Contains("(100, 125, 150, 175 Hz)", apart, StringComparison.Ordinal);
    }

    [Fact]
    public void A_take_that_settles_two_formats_comes_before_one_that_settles_one()
    {
        // 1/60 s at either rate settles both; 1/100 s only its own.
        NextTake next = Next(TestLights.Nothing(Fast), "25@1/100", "25@1/60", "29.97@1/60")!;
        Assert.Equal(1 / 60.0, next.Exposure.Seconds, 6);
        Assert.Contains("25 fps at 1/60 s and 29.97 fps at 1/60 s", next.Why, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("29.97", "29.97@1/60")]
    [InlineData("29.97", "29.97@1/60 29.97@1/100")]
    [InlineData("59.94", "59.94@1/60 59.94@1/100")]
    [InlineData("23.976", "23.976@1/48")]
    public void What_shooting_costs_decides_between_takes_that_settle_as_much(string shot, string house)
    {
        CameraFormat[] formats = [.. house.Split(' ').Select(CameraFormat.Parse)];
        NextTake next = Next(TestLights.Nothing(TestLights.Take(shot, 1 / 250.0, 0.0005)), house.Split(' '))!;
        // The rate that is set already, and a shutter that the house uses.
        Assert.Equal(FrameRate.Parse(shot), next.Rate);
        Assert.Contains(formats, f => f.Exposure!.IsSameSetting(next.Exposure));
        Assert.StartsWith("It shows what the shutters so far could have hidden from ", next.Why, StringComparison.Ordinal);
        Assert.EndsWith(".", next.Why, StringComparison.Ordinal);
        Assert.Contains($"{next.Rate.ToShortText()} frames per second and shutter {next.Exposure.ToShortText()}, at least 10 seconds", next.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void More_than_three_formats_that_a_take_settles_are_others()
    {
        string[] house = ["25@1/60", "29.97@1/60", "50@1/60", "23.976@1/60", "59.94@1/60"];
        NextTake next = Next(TestLights.Nothing(Fast), house)!;
        Assert.Contains(" and others", next.Why, StringComparison.Ordinal);
        Assert.Equal(3, house.Count(h => next.Why.Contains(CameraFormat.Parse(h).ToShortText(), StringComparison.Ordinal)));
        Assert.DoesNotContain(" and others", Next(TestLights.Nothing(Fast), house[..3])!.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void Frequencies_that_look_alike_at_every_whole_rate_ask_for_another_rate()
    {
        // 600 and 1200 Hz look alike at every whole rate in the list; at 29.97 and 59.94 a take tells them apart.
        LightComponent tone = new(Estimate.Exactly(600), Estimate.Exactly(0.3), null, ComponentState.Ambiguous, [600, 1200], null, null);
        NextTake next = Next(TestLights.Of([tone], Fast), "25@1/250")!;
        Assert.Equal(1001, next.Rate.Denominator);
        Assert.Contains("It tells apart the frequencies that still fit (600, 1200 Hz)", next.Why, StringComparison.Ordinal);
        Assert.True(Math.Abs(Math.Abs(AliasFrequency.Of(600, next.Rate)) - Math.Abs(AliasFrequency.Of(1200, next.Rate))) > 0.2);
        // One frequency alone leaves nothing to tell apart.
        Assert.Null(Next(TestLights.Of([tone with { CandidatesHz = [600] }], Fast), "25@1/250"));
        Assert.Null(Next(TestLights.Of([tone with { State = ComponentState.Resolved }], Fast), "25@1/250"));
    }

    [Fact]
    public void A_suggested_shutter_fits_into_its_frame_and_was_not_shot_before()
    {
        foreach (string shot in new[] { "25", "50", "59.94" })
        {
            BlindSpot[] takes = [TestLights.Take(shot, 1 / 250.0, 0.0005), TestLights.Take(shot, 1 / 100.0, 0.0005)];
            NextTake next = Next(TestLights.Nothing(takes), "25@1/60", "50@1/60", "100@1/120")!;
            Assert.InRange(next.Exposure.Seconds, 0, next.Rate.PeriodSeconds * 1.002);
            Assert.DoesNotContain(takes, t => t.Rate == next.Rate && Math.Abs(t.ExposureSeconds!.Value / next.Exposure.Seconds - 1) < 0.002);
        }
    }
}
