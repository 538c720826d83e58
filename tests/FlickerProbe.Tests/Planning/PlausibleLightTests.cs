using FlickerProbe.Camera;
using FlickerProbe.Planning;

namespace FlickerProbe.Tests.Planning;

/// <summary>The lights a plan is made for: mains ripple by the hum of the house, pulses of every rate, weighed by what could show of them.</summary>
public class PlausibleLightTests
{
    private static PlausibleLight[] Set(double? mains, params string[] formats) => [.. PlausibleLight.Set(mains, [.. formats.Select(CameraFormat.Parse)])];

    private static double Weight(PlausibleLight[] lights, double hertz) => lights.First(l => l.FrequencyHz == hertz).Weight;

    [Theory]
    [InlineData(50.0, new[] { 99.94, 100, 100.09 })]
    [InlineData(60.0, new[] { 119.94, 120, 120.09 })]
    [InlineData(null, new[] { 99.94, 100, 100.09, 119.94, 120, 120.09 })]
    public void Ripple_is_twice_the_mains_and_wanders(double? mains, double[] hertz) =>
        Assert.Equal(hertz, Set(mains).Where(l => l.Kind == LightKind.MainsRipple).Select(l => Math.Round(l.FrequencyHz, 9)));

    [Theory]
    [InlineData]
    [InlineData("25@1/50", "50@1/100")]
    public void Weights_of_each_kind_add_up_to_one(params string[] formats)
    {
        PlausibleLight[] lights = Set(50, formats);
        Assert.All(lights.GroupBy(l => l.Kind), kind => Assert.Equal(1, kind.Sum(l => l.Weight), 12));
        Assert.All(lights, l => Assert.True(l.Weight > 0));
    }

    [Fact]
    public void Pulses_cover_their_range_and_the_round_numbers()
    {
        PlausibleLight[] lights = Set(50);
        double[] slow = [.. lights.Where(l => l.Kind == LightKind.SlowPulses).Select(l => l.FrequencyHz).Order()];
        double[] fast = [.. lights.Where(l => l.Kind == LightKind.FastPulses).Select(l => l.FrequencyHz).Order()];
        Assert.Equal((101.3, 1000.0), (slow[0], slow[^1]));
        Assert.Contains(slow, f => Math.Abs(f - 991) < 1e-9);
        Assert.Equal((1013.0, 30_000.0), (fast[0], fast[^1]));
        Assert.Contains(fast, f => Math.Abs(f - 29_700) < 1e-6);
        Assert.All([480.0, 1000.0], f => Assert.Contains(f, slow));
        Assert.All([1200.0, 25_000.0], f => Assert.Contains(f, fast));
        // No gap wider than a tenth, or an eighth, of the frequency.
        Assert.All(slow.Zip(slow.Skip(1)), pair => Assert.InRange(pair.Second / pair.First, 1, 1.1045));
        Assert.All(fast.Zip(fast.Skip(1)), pair => Assert.InRange(pair.Second / pair.First, 1, 1.1152));
    }

    [Fact]
    public void What_could_not_show_at_the_house_formats_weighs_less()
    {
        // Over 1/50 s at most 1/(π f T) of a tone is left: of 0.8 at 5 kHz 0.255 %, half of what counts; of 1.2 kHz 1.06 %, of 30 kHz 0.042 %, less than a tenth.
        PlausibleLight[] lights = Set(50, "25@1/50");
        Assert.Equal(0.8 / (Math.PI * 5000 * 0.02) / 0.005, Weight(lights, 5000) / Weight(lights, 1200), 9);
        Assert.Equal(0.1, Weight(lights, 30_000) / Weight(lights, 1200), 9);
        Assert.Equal(1, Weight(lights, 2000) / Weight(lights, 1200), 9);

        // The shortest shutter of the house decides; where one is unknown, or no format is given, all count alike.
        PlausibleLight[] shorter = Set(50, "25@1/50", "50@1/1000");
        Assert.Equal(1, Weight(shorter, 30_000) / Weight(shorter, 1200), 9);
        PlausibleLight[] any = [.. PlausibleLight.Set(50, [CameraFormat.Parse("25@1/50"), new CameraFormat(FrameRate.Parse("25"), null, null)])];
        Assert.Equal(Weight(any, 1200), Weight(any, 30_000), 12);
        Assert.Equal(Weight(Set(50), 1200), Weight(Set(50), 30_000), 12);
    }
}
