using FlickerProbe.Camera;
using FlickerProbe.Planning;

namespace FlickerProbe.Tests.Planning;

/// <summary>Which frequencies remain follows from the sampling theorem: f and f + k·F look alike at F frames a second, under a global shutter k·F − f too.</summary>
public class OpenFrequenciesTests
{
    private static bool OneRemains(double hertz, string rates, ReadoutState state, double? readoutSeconds = null) =>
        OpenFrequencies.OneRemains(hertz, [.. rates.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(FrameRate.Parse)], new ReadoutKnowledge(state, readoutSeconds));

    [Theory]
    [InlineData(100, "25", false)] // 125, 150, …
    [InlineData(100, "24 25", false)] // 700: the two rates meet again after 600 Hz
    [InlineData(100, "24 25 30000/1001", false)] // 29 900: the three meet at 30 000 Hz, 1250, 1200 and 1001 of their frames
    [InlineData(100, "24 25 30000/1001 24000/1001", true)] // where 23.976 is in the middle of a frame
    [InlineData(300, "24 25", false)]
    [InlineData(100, "50 25", false)] // the second tells nothing new
    public void Under_a_global_shutter_rates_decide(double hertz, string rates, bool one) => Assert.Equal(one, OneRemains(hertz, rates, ReadoutState.Global));

    [Theory] // Counting bands knows f to 0.5 % and 0.03 bands: at 16 ms 0.005 f + 1.875 Hz, which reaches the next frequency, 25 Hz off, at 4625 Hz.
    [InlineData(100, 0.016, true)]
    [InlineData(4600, 0.016, true)]
    [InlineData(4650, 0.016, false)]
    [InlineData(4600, 0.004, false)] // a faster readout makes fewer bands: 7.5 Hz
    [InlineData(4730, null, true)] // not measured yet: three fifths of the frame, 0.005 f + 1.25 Hz
    [InlineData(4770, null, false)]
    public void A_known_readout_decides_by_counting_bands(double hertz, double? readoutSeconds, bool one) =>
        Assert.Equal(one, OneRemains(hertz, "25", ReadoutState.Known, readoutSeconds));

    [Theory]
    [InlineData(100, "25", false)] // 2.4 bands at the usual readout: anything from 59 Hz to 1.2 kHz
    [InlineData(100, "24 25", false)] // 700 is among them
    [InlineData(100, "25 30000/1001", true)] // 150 and five frames of 29.97 differ by 0.15 Hz, the more the farther
    [InlineData(12000, "25 30000/1001", false)] // 30000 Hz are 1001 frames of 29.97 and 1200 of 25; of these, six are within a quarter of a hertz there
    public void An_unknown_readout_leaves_much(double hertz, string rates, bool one) => Assert.Equal(one, OneRemains(hertz, rates, ReadoutState.Unknown));

    [Fact]
    public void No_take_tells_nothing() => Assert.False(OneRemains(100, "", ReadoutState.Known, 0.016));

    [Fact]
    public void What_is_known_of_a_readout()
    {
        Assert.Equal(new ReadoutKnowledge(ReadoutState.Global, 0), ReadoutKnowledge.Of(ReadoutTime.Global, true));
        Assert.Equal(new ReadoutKnowledge(ReadoutState.Known, 0.016), ReadoutKnowledge.Of(ReadoutTime.FromSeconds(-0.016), false));
        Assert.Equal(new ReadoutKnowledge(ReadoutState.Known, null), ReadoutKnowledge.Of(null, true));
        Assert.Equal(new ReadoutKnowledge(ReadoutState.Unknown, null), ReadoutKnowledge.Of(null, false));
    }
}
