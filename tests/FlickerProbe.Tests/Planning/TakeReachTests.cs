using FlickerProbe.Camera;
using FlickerProbe.Planning;

namespace FlickerProbe.Tests.Planning;

/// <summary>What a take tells of a light: a tone too weak, a beat too slow or a shutter too near a null, each just on either side of its line.</summary>
public class TakeReachTests
{
    private static CameraSetting Setting(string rate, double? exposureSeconds, double deviation = 0) =>
        new(FrameRate.Parse(rate), "shutter", exposureSeconds is { } seconds ? ExposureTime.FromSeconds(seconds, deviation) : null);

    private static PlausibleLight Light(double hertz, double amplitude) => new(LightKind.SlowPulses, hertz, amplitude, 1);

    [Theory] // A tenth of a hertz is a cycle in ten seconds. Bands that hardly move are told from the scene sooner than a whole picture that hardly pulses.
    [InlineData(100, false, false)]
    [InlineData(99.985, false, false)]
    [InlineData(99.983, false, true)]
    [InlineData(99.96, false, true)]
    [InlineData(100.04, true, false)]
    [InlineData(100.06, true, true)]
    public void A_beat_must_move_in_ten_seconds(double hertz, bool isGlobal, bool shows) =>
        Assert.Equal(shows, TakeReach.Shows(Light(hertz, 0.5), Setting("25", 1 / 500.0), isGlobal));

    [Theory] // sinc(217/500) = 0.7180, sinc(217/100) = 0.0748, by hand; a thousandth of the amplitude on either side of 0.6 % on camera.
    [InlineData(500, 0.7180)]
    [InlineData(100, 0.0748)]
    public void A_tone_must_be_plain_on_camera(double reciprocal, double gain)
    {
        double amplitude = 0.006 / gain;
        Assert.True(TakeReach.Shows(Light(217, amplitude * 1.002), Setting("25", 1 / reciprocal), false));
        Assert.False(TakeReach.Shows(Light(217, amplitude * 0.998), Setting("25", 1 / reciprocal), false));
    }

    [Fact]
    public void A_shutter_nobody_knows_shows_half_and_tells_no_depth()
    {
        Assert.True(TakeReach.Shows(Light(217, 0.0121), Setting("25", null), false));
        Assert.False(TakeReach.Shows(Light(217, 0.0119), Setting("25", null), false));
        Assert.False(TakeReach.GivesDepth(Light(217, 0.5), Setting("25", null), false));
    }

    [Theory] // Near the first null |G| is about the offset itself and its slope about 1: two deviations are a quarter of it at eight of them.
    [InlineData(6, false)]
    [InlineData(10, true)]
    public void Near_a_null_the_shutters_tolerance_is_too_much(double deviations, bool known)
    {
        PlausibleLight light = Light(217, 0.8);
        CameraSetting setting = Setting("25", (1 + deviations * ExposureTime.DefaultRelativeDeviation) / 217, ExposureTime.DefaultRelativeDeviation);
        Assert.True(TakeReach.Shows(light, setting, false));
        Assert.Equal(known, TakeReach.GivesDepth(light, setting, false));
    }

    [Fact]
    public void A_tone_that_does_not_show_gives_no_depth() =>
        Assert.False(TakeReach.GivesDepth(Light(100, 0.5), Setting("25", 1 / 500.0), false));
}
