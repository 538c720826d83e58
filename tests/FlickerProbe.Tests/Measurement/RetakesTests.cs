using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Measurement;

/// <summary>"Shoot again with nothing moving": the take that was spoilt no longer stands in the way.</summary>
public class RetakesTests
{
    private static readonly Finding Moved = new(FindingCodes.Unexplained, "Something moved.") { ForbidsPass = true };

    private static TakeMeasurement Take(string format, Estimate depth, params Finding[] findings) =>
        new(CameraFormat.Parse(format), 100, 100, new SignalLevel(0.5, 0.6, 0, 0), depth, null, 0.001, 0.2, null, [], findings);

    private static readonly TakeMeasurement Spoilt = Take("25@1/50@16ms", new Estimate(0, 0, 0.03), Moved), Sound = Take("25@1/50@16ms", Estimate.AtMost(0.003));

    [Fact]
    public void A_spoilt_take_gives_way_to_a_sound_one_of_the_same_setting() => Assert.Equal([Sound], Retakes.Counting([Spoilt, Sound]));

    [Fact]
    public void Alone_it_counts() => Assert.Equal([Spoilt], Retakes.Counting([Spoilt]));

    [Theory]
    [InlineData("29.97@1/50@16ms")]
    [InlineData("25@1/100@16ms")]
    public void Another_setting_does_not_replace_it(string format)
    {
        TakeMeasurement other = Take(format, Estimate.AtMost(0.003));
        Assert.Equal([Spoilt, other], Retakes.Counting([Spoilt, other]));
    }

    [Fact]
    public void Flicker_that_it_showed_beyond_what_the_sound_one_allows_stays()
    {
        TakeMeasurement flickering = Take("25@1/50@16ms", new Estimate(0.05, 0.04, 0.06), Moved);
        Assert.Equal([flickering, Sound], Retakes.Counting([flickering, Sound]));
    }

    [Fact]
    public void Two_spoilt_ones_both_count() => Assert.Equal([Spoilt, Spoilt], Retakes.Counting([Spoilt, Spoilt]));

    [Fact]
    public void Sound_takes_all_count() => Assert.Equal([Sound, Sound], Retakes.Counting([Sound, Sound]));

    [Fact]
    public void A_take_that_may_only_have_missed_something_gives_way_to_any_sound_one()
    {
        Finding clipped = new(FindingCodes.Clipped, "Clipped.") { ForbidsPass = true };
        TakeMeasurement blind = Take("25@1/50@16ms", Estimate.AtMost(0.4), clipped), sound = Take("29.97@1/500@16ms", Estimate.AtMost(0.003));
        Assert.Equal([sound], Retakes.Counting([blind, sound]));
        // Flicker that it did show, and change that nobody understands, stay.
        TakeMeasurement seeing = blind with { ModulationDepth = new Estimate(0.02, 0.01, 0.4) }, moved = blind with { Findings = [clipped, Moved] };
        Assert.Equal([seeing, sound], Retakes.Counting([seeing, sound]));
        Assert.Equal([moved, sound], Retakes.Counting([moved, sound]));
        // A camera that mixes frames does so in the other take too, whether that shows it or not.
        TakeMeasurement mixed = blind with { Findings = [new Finding(FindingCodes.MixedFrames, "Frames are mixed.") { ForbidsPass = true }] };
        Assert.Equal([mixed, sound], Retakes.Counting([mixed, sound]));
    }
}
