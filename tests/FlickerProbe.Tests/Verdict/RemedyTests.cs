using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Tests.Prediction;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Verdict;

/// <summary>Each way out of flicker is named where it helps, and nowhere else.</summary>
public class RemedyTests
{
    private static readonly BlindSpot[] Clean = [TestLights.Take("25", 1 / 1000.0, 0.0002), TestLights.Take("29.97", 1 / 1000.0, 0.0002)];

    private static IReadOnlyList<string> For(LightEstimate light, string format, params (string Level, Ruling Ruling)[] others) =>
        Remedies.For(light, CameraFormat.Parse(format), others, Policy.Default);

    [Theory] // Twice 50 and 60 Hz; grids keep within 1 % (EN 50160, from memory), the meter's own error beside it.
    [InlineData(100, true)]
    [InlineData(98.5, true)]
    [InlineData(101.5, true)]
    [InlineData(102.5, false)]
    [InlineData(97.5, false)]
    [InlineData(120, true)]
    [InlineData(117.8, true)]
    [InlineData(122.2, true)]
    [InlineData(122.8, false)]
    [InlineData(117.2, false)]
    [InlineData(300, false)]
    public void A_light_follows_the_mains_near_twice_its_frequency(double hz, bool mains)
    {
        IReadOnlyList<string> remedies = For(TestLights.Sine(hz, 0.5, Clean), "25@1/1000@16ms");
        Assert.Equal(mains, remedies.Any(r => r.Contains("follows the mains", StringComparison.Ordinal)));
        Assert.Equal(!mains, remedies.Any(r => r.Contains("dimming-frequency", StringComparison.Ordinal)));
        if (!mains) Assert.Contains(remedies, r => r.Contains($"at about {hz:0} Hz now", StringComparison.Ordinal));
    }

    [Fact]
    public void Levels_that_pass_are_named_three_at_most_and_only_those()
    {
        LightEstimate light = TestLights.Sine(400, 0.3, Clean);
        string level = Assert.Single(
            For(light, "25@1/1000@16ms", ("100 %", Ruling.Pass), ("75 %", Ruling.Watch), ("50 %", Ruling.Pass), ("25 %", Ruling.Pass), ("15 %", Ruling.Pass), ("10 %", Ruling.Fail)),
            r => r.Contains("dimmer level", StringComparison.Ordinal));
        Assert.StartsWith("Use the dimmer level 100 % or 50 % or 25 %, which passes here", level, StringComparison.Ordinal);
        Assert.DoesNotContain(For(light, "25@1/1000@16ms", ("75 %", Ruling.Watch)), r => r.Contains("dimmer level", StringComparison.Ordinal));
    }

    [Fact]
    public void Where_only_the_unseen_is_open_nothing_is_said_of_the_fixture()
    {
        // A faint light of 400 Hz, and takes at 1/250 s only: other shutters might show more than these could see.
        LightEstimate light = TestLights.Sine(400, 0.002, TestLights.Take("25", 1 / 250.0, 0.0005));
        IReadOnlyList<string> remedies = For(light, "25@1/400@16ms");
        Assert.NotEqual(Ruling.Pass, Judge.Format(Forecaster.Forecast(light, CameraFormat.Parse("25@1/400@16ms")), Policy.Default).Ruling);
        Assert.DoesNotContain(remedies, r => r.Contains("fixture", StringComparison.Ordinal));
        Assert.DoesNotContain(remedies, r => r.Contains("1/400 s", StringComparison.Ordinal));
        Assert.Contains(remedies, r => r.StartsWith("Set the shutter to ", StringComparison.Ordinal) && r.Contains(" at 25 frames per second", StringComparison.Ordinal));
    }

    [Fact]
    public void What_may_as_well_be_nothing_is_not_blamed_on_the_fixture()
    {
        // A take at the very setting that shows 40 % or nothing, as a starved encoder leaves it.
        CameraFormat format = CameraFormat.Parse("25@1/1000@16ms");
        IReadOnlyList<string> With(double low) => Remedies.For(TestLights.Nothing(Clean), format, [], Policy.Default,
            [new TakeMeasurement(format, 100, 100, new SignalLevel(0.5, 0.6, 0, 0), new Estimate(0.4, low, 0.8), null, 0.05, 0.2, null, [], [])]);
        Assert.DoesNotContain(With(0), r => r.Contains("another fixture", StringComparison.Ordinal));
        Assert.Contains("Use another fixture for this shot.", With(0.1));
    }

    [Fact]
    public void At_most_three_shutters_are_named()
    {
        string shutter = For(TestLights.Sine(1000, 0.3, [TestLights.Take("25", 1 / 4000.0, 0.0002), TestLights.Take("25", 1 / 50.0, 0.0002)]), "25@1/1500@16ms")[0];
        Assert.StartsWith("Set the shutter to ", shutter, StringComparison.Ordinal);
        Assert.InRange(shutter.Split(" or ").Length, 2, 3);
    }

    [Fact]
    public void Another_rate_with_the_same_shutter_is_named_where_only_the_beat_is_in_the_way()
    {
        // 100 Hz through 1/125 s, the longest shutter but one that fits: 0.7 %, as all rows at once, 20 times a second at 120 frames, which counts more than depth. At 100 frames it stands.
        LightEstimate light = TestLights.Sine(100, 0.03, [TestLights.Take("25", 1 / 1000.0, 0.0002), TestLights.Take("29.97", 1 / 1000.0, 0.0002), TestLights.Take("29.97", 1 / 125.0, 0.0002)]);
        IReadOnlyList<string> remedies = For(light, "120@1/125@global");
        string rate = Assert.Single(remedies, r => r.StartsWith("Set the frame rate", StringComparison.Ordinal));
        Assert.StartsWith("Set the frame rate to 100 or 50 ", rate, StringComparison.Ordinal);
        Assert.EndsWith(" with the same shutter: there the light stays under the pass line.", rate, StringComparison.Ordinal);
        Assert.Equal(2, rate["Set the frame rate to ".Length..rate.IndexOf(" with", StringComparison.Ordinal)].Split(" or ").Length);
    }

    [Fact]
    public void Where_nothing_was_found_no_shutter_is_worth_a_try() =>
        Assert.DoesNotContain(For(TestLights.Nothing(TestLights.Take("25", 1 / 250.0, 0.0005)), "25@1/60@16ms"), r => r.StartsWith("Try", StringComparison.Ordinal));

    [Fact]
    public void A_shutter_that_is_safe_makes_another_rate_needless()
    {
        LightEstimate light = TestLights.Sine(100, 0.3, TestLights.Take("25", 1 / 1000.0, 0.0002), TestLights.Take("25", 1 / 100.0, 0.0002), TestLights.Take("25", 1 / 50.0, 0.0002));
        IReadOnlyList<string> remedies = For(light, "25@1/250@16ms");
        Assert.StartsWith("Set the shutter to ", remedies[0], StringComparison.Ordinal);
        Assert.DoesNotContain(remedies, r => r.StartsWith("Set the frame rate", StringComparison.Ordinal));
    }

    [Fact]
    public void The_last_word_is_another_fixture()
    {
        IReadOnlyList<string> remedies = For(TestLights.Sine(400, 0.3, Clean), "25@1/1000@16ms");
        Assert.Equal("Use another fixture for this shot.", remedies[^1]);
        Assert.Single(remedies, r => r.Contains("another fixture", StringComparison.Ordinal));
    }

    [Fact]
    public void Remedies_come_in_the_order_of_their_cost()
    {
        LightEstimate dimmer = TestLights.Sine(400, 0.3, TestLights.Take("25", 1 / 1000.0, 0.0005), TestLights.Take("25", 1 / 50.0, 0.0005));
        IReadOnlyList<string> remedies = Remedies.For(dimmer, CameraFormat.Parse("25@1/250@16ms"), [("100 %", Ruling.Pass), ("10 %", Ruling.Fail)], Policy.Default);
        // 1/200 s holds two whole periods of 400 Hz and is a whole multiple of the clean take's 1/1000 s.
        Assert.Contains("Set the shutter to 1/200 s", remedies[0], StringComparison.Ordinal);
        string[] order = ["shutter", "dimming-frequency", "dimmer level 100 %", "another fixture"];
        int[] places = [.. order.Select(word => remedies.ToList().FindIndex(r => r.Contains(word, StringComparison.Ordinal)))];
        Assert.DoesNotContain(-1, places);
        Assert.Equal(places.Order(), places);
    }

    [Fact]
    public void A_format_that_passes_needs_no_remedy() =>
        Assert.Empty(Remedies.For(TestLights.Nothing(TestLights.Take("25", 1 / 250.0, 0.0005)), CameraFormat.Parse("25@1/250"), [], Policy.Default));

    [Fact]
    public void Mains_ripple_is_told_to_follow_the_mains_and_has_no_setting_to_raise()
    {
        LightEstimate ripple = TestLights.Sine(100, 0.3, TestLights.Take("25", 1 / 1000.0, 0.0005), TestLights.Take("29.97", 1 / 1000.0, 0.0005));
        IReadOnlyList<string> remedies = Remedies.For(ripple, CameraFormat.Parse("50@1/250@8ms"), [], Policy.Default);
        Assert.Contains(remedies, r => r.Contains("follows the mains", StringComparison.Ordinal));
        Assert.DoesNotContain(remedies, r => r.Contains("dimming-frequency", StringComparison.Ordinal));
        Assert.DoesNotContain(remedies, r => r.Contains("dimmer level", StringComparison.Ordinal));
        Assert.Contains("another fixture", remedies[^1], StringComparison.Ordinal);
    }

    [Fact]
    public void Where_no_shutter_of_a_fast_rate_passes_a_slower_rate_with_room_for_one_is_named()
    {
        // 1/100 s, the first shutter blind to 100 Hz, does not fit into a frame of 1/120 s.
        LightEstimate ripple = TestLights.Sine(100, 0.5, TestLights.Take("25", 1 / 1000.0, 0.0002), TestLights.Take("29.97", 1 / 100.0, 0.0002));
        IReadOnlyList<string> remedies = Remedies.For(ripple, CameraFormat.Parse("120@1/250@8ms"), [], Policy.Default);
        Assert.DoesNotContain(remedies, r => r.StartsWith("Set the shutter", StringComparison.Ordinal));
        string rate = Assert.Single(remedies, r => r.StartsWith("Set the frame rate", StringComparison.Ordinal));
        Assert.Contains("room for a shutter that passes", rate, StringComparison.Ordinal);
        Assert.Contains("1/100 s", rate, StringComparison.Ordinal);
    }
}
