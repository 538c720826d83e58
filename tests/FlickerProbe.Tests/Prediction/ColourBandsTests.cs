using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

public class ColourBandsTests
{
    private static TakeMeasurement Channel(params Tone[] tones) => new(
        TestLights.Format("25@1/250@16ms"), 100, 100, new SignalLevel(0.5, 0.6, 0, 0), null, null, 0.002, 0.2, null, tones, []);

    /// <summary>A tone whose phase is given in the middle of the 100 frames, where channels are compared.</summary>
    private static Tone Tone(double amplitude, double phaseInTheMiddle, double aliasHz = 5, double half = 0.001) => new(
        Estimate.Exactly(aliasHz), Estimate.Exactly(1.92), new Estimate(amplitude, amplitude - half, amplitude + half), phaseInTheMiddle - Math.PI * aliasHz * 99 / 25, null, []);

    [Fact] // Vectors: |0.1 − 0.1| = 0; |0.1 + 0.1| = 0.2; |0.1 − 0.1i| = 0.1414; the two half-widths of 0.001 are taken off.
    public void The_share_is_what_surely_differs_between_channels()
    {
        Assert.Equal(0, ColourBands.SureShare([[Channel(Tone(0.1, 1))], [Channel(Tone(0.1, 1))]]), 9);
        Assert.Equal(1.98, ColourBands.SureShare([[Channel(Tone(0.1, 0))], [Channel(Tone(0.1, Math.PI))]]), 9);
        Assert.Equal((0.1 * Math.Sqrt(2) - 0.002) / 0.1, ColourBands.SureShare([[Channel(Tone(0.1, 0))], [Channel(Tone(0.1, Math.PI / 2))]]), 9);
        // One channel steady: all but its detection limit and the tone's own interval.
        Assert.Equal((0.1 - 0.001 - 0.002) / 0.1, ColourBands.SureShare([[Channel(Tone(0.1, 0))], [Channel()]]), 9);
    }

    [Fact]
    public void A_beat_fitted_a_hair_apart_does_not_turn_the_phase() =>
        Assert.Equal(0, ColourBands.SureShare([[Channel(Tone(0.1, 1, 5.00))], [Channel(Tone(0.1, 1, 5.01))]]), 9);

    [Fact]
    public void Noise_makes_no_colour_and_neither_do_no_channels()
    {
        Assert.Equal(0, ColourBands.SureShare([[Channel(Tone(0.1, 0, half: 0.02))], [Channel(Tone(0.13, 0, half: 0.02))]]), 9);
        Assert.Equal(0, ColourBands.SureShare([]), 9);
    }

    [Theory] // One 8-bit BT.709 code step near mid-scale is a depth of about 0.85 %.
    [InlineData(0.02, 0.5, true)]
    [InlineData(0.02, 0.4, false)]
    [InlineData(0.30, 0, false)]
    public void Colour_shows_from_one_code_step_on(double depth, double share, bool shows) => Assert.Equal(shows, ColourBands.Show(Estimate.Exactly(depth), share));
}
