using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Bands = f · T_r and alias = f − kF, turned around (measurement model, "Light, camera, picture").</summary>
public class ReadoutCalibrationTests
{
    private static TakeMeasurement Take(string rate, params (double Alias, double Bands)[] tones)
    {
        var format = new CameraFormat(FrameRate.Parse(rate), null, null);
        return new TakeMeasurement(
            format, 150, 150, new SignalLevel(0.6, 0.7, 0, 0), null, null, 0.001, 0.1, null,
            [.. tones.Select((t, n) => new Tone(
                Estimate.Normal(t.Alias, 0.001), Estimate.Normal(t.Bands, 0.002), Estimate.Normal(0.1 / (n + 1), 0.001), 0, null, []) { TimesLimit = 100.0 / (n + 1) })],
            []);
    }

    [Theory]
    [InlineData("50", 120, 0.016)] // alias +20 Hz
    [InlineData("50", 120, -0.016)]
    [InlineData("25", 120, 0.02)] // alias −5 Hz
    [InlineData("25", 120, -0.031)]
    [InlineData("30000/1001", 100, 0.0083)]
    [InlineData("60000/1001", 100, -0.0083)]
    public void Readout_and_direction_come_back(string rate, double lamp, double readout)
    {
        double alias = AliasFrequency.Of(lamp, FrameRate.Parse(rate));
        // The pair (α, ν) of a readout from bottom to top is (α, −ν), which is shown as (−α, ν).
        TakeMeasurement take = Take(rate, (Math.Sign(readout) * alias, lamp * Math.Abs(readout)));

        ReadoutCalibration found = ReadoutCalibration.Find(take, lamp)!;

        Assert.True(found.DirectionKnown);
        Assert.Equal(readout, found.ReadoutSeconds.Value, 1e-9);
        Assert.True(found.ReadoutSeconds.Holds(readout));
        Assert.True(found.ReadoutSeconds.High - found.ReadoutSeconds.Low < 1e-4);
    }

    [Fact]
    public void A_lamp_a_little_off_its_rate_is_measured_on_the_way()
    {
        ReadoutCalibration found = ReadoutCalibration.Find(Take("50", (20.08, 120.08 * 0.016)), 120)!;

        Assert.Equal(120.08, found.LampHz.Value, 1e-6);
        Assert.Equal(0.016, found.ReadoutSeconds.Value, 1e-9);
    }

    [Theory]
    [InlineData("25", 100, 0)] // stands still
    [InlineData("25", 100, -0.04)] // mains 0.02 Hz low, or read the other way and as much high
    [InlineData("30000/1001", 120, 0.02)] // mains 0.05 Hz low, or read the other way and 0.07 Hz low
    public void A_beat_too_slow_for_the_direction_is_owned_up_to(string rate, double lamp, double alias)
    {
        ReadoutCalibration found = ReadoutCalibration.Find(Take(rate, (alias, lamp * 0.016)), lamp)!;

        Assert.False(found.DirectionKnown);
        Assert.True(found.ReadoutSeconds.Holds(0.016));
        // The mains' tolerance is all that is known of the lamp's rate.
        Assert.True(found.ReadoutSeconds.High >= 0.016 * 1.001);
    }

    [Fact]
    public void Overtones_narrow_the_interval()
    {
        Estimate alone = ReadoutCalibration.Find(Take("50", (20, 1.92)), 120)!.ReadoutSeconds;
        Estimate together = ReadoutCalibration.Find(Take("50", (20, 1.92), (-10, 3.84)), 120)!.ReadoutSeconds;

        Assert.True(together.High - together.Low < 0.6 * (alone.High - alone.Low));
        Assert.True(together.Holds(0.016));
    }

    [Fact]
    public void Pulsing_without_bands_is_a_global_shutter()
    {
        ReadoutCalibration found = ReadoutCalibration.Find(Take("50", (20, 0.001)), 120)!;

        Assert.True(found.IsGlobal);
        Assert.Equal(0, found.ReadoutSeconds.Value);
        Assert.True(found.ReadoutSeconds.High < 1e-4);
    }

    [Fact]
    public void A_tone_of_another_rate_is_not_taken_for_the_lamp() => Assert.Null(ReadoutCalibration.Find(Take("50", (17, 1.9)), 120));

    [Fact]
    public void An_overtone_without_its_fundamental_is_not_enough() => Assert.Null(ReadoutCalibration.Find(Take("50", (-10, 3.84)), 120));

    [Fact]
    public void Nothing_seen_is_nothing_found() => Assert.Null(ReadoutCalibration.Find(Take("50"), 120));
}
