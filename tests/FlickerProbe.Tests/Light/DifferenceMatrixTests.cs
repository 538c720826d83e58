using FlickerProbe.Light;
using Xunit;

namespace FlickerProbe.Tests.Light;

/// <summary>Colour difference back to red, green and blue.</summary>
public class DifferenceMatrixTests
{
    private static readonly SignalScale Limited8 = new(SignalRange.Limited, 8);

    /// <summary>Full-strength bars in 8-bit codes Y′, Cb, Cr: Recommendation ITU-R BT.709-6, items 3.2, 3.3 and 4.6, worked out and rounded; the codes from memory.</summary>
    public static TheoryData<int, int, int, double, double, double> Bars => new()
    {
        { 63, 102, 240, 1, 0, 0 },
        { 173, 42, 26, 0, 1, 0 },
        { 32, 240, 118, 0, 0, 1 },
        { 219, 16, 138, 1, 1, 0 },
        { 188, 154, 16, 0, 1, 1 },
        { 78, 214, 230, 1, 0, 1 },
        { 235, 128, 128, 1, 1, 1 },
        { 16, 128, 128, 0, 0, 0 },
    };

    [Theory]
    [MemberData(nameof(Bars))]
    public void Full_strength_bars_come_back(int luma, int cb, int cr, double red, double green, double blue)
    {
        foreach (int depth in new[] { 8, 10, 12 })
        {
            SignalScale scale = new(SignalRange.Limited, depth);
            int shift = depth - 8;
            (double r, double g, double b) = DifferenceMatrix.Primaries(
                scale.LevelOf(luma << shift), DifferenceMatrix.LevelOf(cb << shift, scale), DifferenceMatrix.LevelOf(cr << shift, scale), LuminanceWeights.Bt709);
            // Rounding to whole codes: half a step of luma and half a step of a difference, which counts up to 1.86 times.
            Assert.Equal(red, r, 0.008);
            Assert.Equal(green, g, 0.008);
            Assert.Equal(blue, b, 0.008);
        }
    }

    [Theory]
    [InlineData(SignalRange.Limited, 8, 128, 240, 16)]
    [InlineData(SignalRange.Limited, 10, 512, 960, 64)]
    [InlineData(SignalRange.Limited, 12, 2048, 3840, 256)]
    public void The_ends_of_the_difference_are_half(SignalRange range, int depth, int none, int most, int least)
    {
        SignalScale scale = new(range, depth);
        Assert.Equal(0, DifferenceMatrix.LevelOf(none, scale), 12);
        Assert.Equal(0.5, DifferenceMatrix.LevelOf(most, scale), 12);
        Assert.Equal(-0.5, DifferenceMatrix.LevelOf(least, scale), 12);
    }

    /// <summary>Recommendation ITU-R BT.2100-2, table 9: full range, (2ⁿ − 1) · C + 2ⁿ⁻¹.</summary>
    [Fact]
    public void Full_range_spans_all_codes()
    {
        SignalScale scale = new(SignalRange.Full, 10);
        Assert.Equal(0, DifferenceMatrix.LevelOf(512, scale), 12);
        Assert.Equal(-512.0 / 1023, DifferenceMatrix.LevelOf(0, scale), 12);
        Assert.Equal(511.0 / 1023, DifferenceMatrix.LevelOf(1023, scale), 12);
    }

    [Fact]
    public void A_code_that_has_a_level_has_that_level()
    {
        foreach (SignalScale scale in new[] { Limited8, new SignalScale(SignalRange.Full, 10), new SignalScale(SignalRange.Limited, 12) })
        {
            foreach (double level in new[] { -0.05, 0, 0.3, 1, 1.08 }) Assert.Equal(level, scale.LevelOf(scale.CodeOf(level)), 12);
            Assert.Equal(scale.WhiteCode, scale.CodeOf(1), 9);
            Assert.Equal(scale.BlackCode, scale.CodeOf(0), 9);
        }
        Assert.Equal(1.0 / 219, Limited8.LevelPerCode, 12);
        Assert.Equal(Limited8.LevelPerCode, Limited8.LevelPerEightBitStep, 12);
        Assert.Equal(Limited8.LevelPerEightBitStep / 4, new SignalScale(SignalRange.Limited, 10).LevelPerCode, 12);
        Assert.Equal(new SignalScale(SignalRange.Full, 8).LevelPerCode, new SignalScale(SignalRange.Full, 10).LevelPerEightBitStep, 12);
    }
}
