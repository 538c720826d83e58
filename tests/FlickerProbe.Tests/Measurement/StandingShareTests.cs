using FlickerProbe.Camera;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Light in step with the frames is divided out of the rows, and bends what shines through it.</summary>
public class StandingShareTests
{
    private static readonly LightMatrix Half = Planes.Of(50, 120, (_, _) => 1);
    private static readonly ReadoutTime Readout = ReadoutTime.FromSeconds(0.008);
    private static readonly ExposureTime Exposure = ExposureTime.FromSeconds(0.002);

    [Fact]
    public void Only_what_may_stand_bends_and_more_so_the_longer_the_exposure()
    {
        double bent = new StandingShare(0.05, 0.5, Half, isGlobal: false, null).BandsBent(1, Readout, Exposure);
        Assert.Equal(0.12 * 0.5 * 0.25, bent, 9);
        Assert.Equal(2 * bent, new StandingShare(0.05, 0.5, Half, isGlobal: false, null).BandsBent(1, Readout, ExposureTime.FromSeconds(0.004)), 9);
        Assert.Equal(bent, new StandingShare(0.05, 0.5, Half, isGlobal: false, null).BandsBent(1, ReadoutTime.FromSeconds(-0.008), Exposure), 9);
        Assert.Equal(0, new StandingShare(0.05, null, Half, isGlobal: false, null).BandsBent(1, Readout, Exposure));
        Assert.Equal(0, new StandingShare(0.05, 0.5, Half, isGlobal: true, null).BandsBent(1, Readout, Exposure));
    }

    [Fact]
    public void Ripple_under_pulses_that_stand_is_not_stated_at_another_rate()
    {
        // 120 Hz through pulses of 250 Hz at 25: a fast readout shows three quarters of a band, and 94.985 Hz has the same alias.
        Judged judged = Judged.Of(new SyntheticTake
        {
            Rate = "25", ReadoutSeconds = 0.0047, ExposureSeconds = 1 / 500.0, Frames = 163, Rows = 180, CodedHeight = 360, FirstRow = 14,
            Light = new ProductLight { Parts = [new PulseLight { FrequencyHz = 250, Duty = 0.35, Low = 0.4 }, Waveform.Sine(119.985, 0.35)] },
        });
        judged.ClaimsNoneBut(119.985, 239.97, 359.955, 479.94, 130.015, 369.985, 380.015, 10.03);
    }
}
