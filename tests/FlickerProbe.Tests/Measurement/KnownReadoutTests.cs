using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>A readout of 16 ms at 25 frames a second: 0.4 bands over the height for each multiple of the rate.</summary>
public class KnownReadoutTests
{
    private const int Height = 1000;
    private static readonly KnownReadout Readout = new(0.016, 0.002, 25, Height);

    [Theory]
    [InlineData(100.5, 0)] // 4 · 25 + 0.5
    [InlineData(119.9, 0)]
    [InlineData(-100.5, 0)] // the mirror image
    [InlineData(100.5, 0.02)]
    public void A_light_lies_where_its_frequency_puts_it(double hertz, double bandsBeside) =>
        Assert.True(Readout.Allows(hertz / 25 - Math.Round(hertz / 25), (hertz * 0.016 + bandsBeside) / Height, 1e-6));

    [Theory]
    [InlineData(0.2)] // half way between two multiples
    [InlineData(-0.12)]
    public void What_no_frequency_has_is_not_possible(double bandsBeside) =>
        Assert.False(Readout.Allows(0.5 / 25, (100.5 * 0.016 + bandsBeside) / Height, 1e-6));

    [Fact]
    public void An_uncertain_place_is_possible_all_the_same() => Assert.True(Readout.Allows(0.5 / 25, (100.5 * 0.016 + 0.12) / Height, 0.1 / Height));

    [Theory]
    [InlineData(25, 1e-6, true)] // the eye would see it
    [InlineData(50, 1e-6, false)] // half a wave of the mains
    [InlineData(35, 0.1, false)] // not sure enough
    public void Slow_change_with_fewer_bands_than_any_lamp_is_no_lamp(double hertz, double bandsDeviation, bool below) =>
        Assert.Equal(below, Readout.IsBelowLamps(hertz * 0.016 / Height, bandsDeviation / Height));

    [Fact]
    public void Upwards_the_bands_run_the_other_way()
    {
        KnownReadout upwards = Readout with { Seconds = -0.016 };
        Assert.True(upwards.Allows(5.5 / 25, -105.5 * 0.016 / Height, 1e-6));
        Assert.False(upwards.Allows(5.5 / 25, 105.5 * 0.016 / Height, 1e-6));
    }
}
