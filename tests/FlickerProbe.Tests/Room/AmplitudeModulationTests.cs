using FlickerProbe.Room;
using FlickerProbe.Tests.References;
using Xunit;

namespace FlickerProbe.Tests.Room;

public class AmplitudeModulationTests
{
    [Theory] // California Title 24 JA10.6 (calculation and cut-offs); values recomputed independently from the Fourier series.
    [InlineData("rectified", 100.001, 0.66667, 0.83516, 0.93527)]
    [InlineData("rectified", 120, 0.66667, 0.83516, 0.92765)]
    [InlineData("square", 100.001, 1.27324, 1.20042, 1.18233)]
    [InlineData("square", 120, 1.27324, 1.20042, 1.18423)]
    [InlineData("pulse25", 100.001, 1.80063, 1.12418, 1.21630)]
    public void Modulation_after_the_cut_offs(string wave, double hz, double under200, double under400, double under1000)
    {
        // A hair over 100 Hz: overtones exactly at a cut-off are left open by the text and are taken as above it.
        RoomTone[] tones = [.. Enumerable.Range(1, 40).Select(m => new RoomTone(m * hz, SeriesOf.Of(wave, m), SeriesOf.Phase(wave, m), 1, m))];
        Assert.Equal(0, AmplitudeModulation.Below(40, tones), 1e-9);
        Assert.Equal(0, AmplitudeModulation.Below(90, tones), 1e-9);
        Assert.Equal(under200, AmplitudeModulation.Below(200, tones), 1e-4);
        Assert.Equal(under400, AmplitudeModulation.Below(400, tones), 2e-3);
        Assert.Equal(under1000, AmplitudeModulation.Below(1000, tones), 2e-3);
    }

    [Fact]
    public void Tones_without_a_known_phase_meet_at_the_worst() =>
        Assert.Equal(0.3, AmplitudeModulation.Below(1000, [new RoomTone(100, 0.2), new RoomTone(330, 0.1)]), 12);
}
