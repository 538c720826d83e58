using FlickerProbe.Light;
using FlickerProbe.Tests.References;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Light;

public class TransferFunctionTests
{
    [Theory]
    [MemberData(nameof(TransferFunctionValues.SignalOfLight), MemberType = typeof(TransferFunctionValues))]
    public void Undoes_the_published_camera_curve(string curve, double light, double signal) =>
        // The signal is published to six decimals: that limits what can be asked of the light.
        Assert.Equal(light, TransferFunction.Parse(curve).ToLinear(signal), 4e-6);

    [Theory]
    [MemberData(nameof(TransferFunctionValues.LightOfSignal), MemberType = typeof(TransferFunctionValues))]
    public void Gives_the_published_light(string curve, double signal, double light) =>
        Assert.Equal(light, TransferFunction.Parse(curve).ToLinear(signal), 6e-7);

    [Theory]
    [MemberData(nameof(TransferFunctionValues.LuminanceOfPq), MemberType = typeof(TransferFunctionValues))]
    public void Pq_gives_the_published_luminance(double signal, double luminance) =>
        Assert.Equal(1, TransferFunction.Pq.ToLinear(signal) * 203 / luminance, 3e-4);

    [Fact]
    public void Pq_counts_the_reference_white_as_one() =>
        // Report ITU-R BT.2408: HDR reference white 203 cd/m², 58 % PQ, 10-bit narrow-range code 573.
        Assert.Equal(1, TransferFunction.Pq.ToLinear(new SignalScale(SignalRange.Limited, 10).LevelOf(573)), 0.01);

    [Theory]
    [MemberData(nameof(TransferFunctionValues.LimitedCodes), MemberType = typeof(TransferFunctionValues))]
    public void Limited_range_has_the_published_codes(int depth, int black, int white, int largest)
    {
        var scale = new SignalScale(SignalRange.Limited, depth);
        Assert.Equal((black, white, largest), (scale.BlackCode, scale.WhiteCode, scale.LargestCode));
        Assert.Equal(0, scale.LevelOf(black));
        Assert.Equal(1, scale.LevelOf(white));
    }

    [Fact]
    public void Full_range_uses_every_code()
    {
        var scale = new SignalScale(SignalRange.Full, 10);
        Assert.Equal(0, scale.LevelOf(0));
        Assert.Equal(1, scale.LevelOf(1023));
    }

    [Theory]
    [MemberData(nameof(TransferFunctionValues.CodeStepAtMiddleGrey), MemberType = typeof(TransferFunctionValues))]
    public void One_code_step_at_middle_grey_is_as_published(int depth, double share) =>
        Assert.Equal(share, TransferFunction.Bt709.RelativeStep(0.409008, new SignalScale(SignalRange.Limited, depth).LevelPerCode), 1.5e-4);

    [Theory]
    [MemberData(nameof(TransferFunctionValues.SmallSignalGain), MemberType = typeof(TransferFunctionValues))]
    public void Undoes_the_published_small_signal_gain(double light, double gain)
    {
        double level = 1.099 * Math.Pow(light, 0.45) - 0.099;
        double relativeLight = TransferFunction.Bt709.RelativeStep(level, 1e-5);
        Assert.Equal(gain, 1e-5 / level / relativeLight, 6e-4);
    }

    [Theory]
    [InlineData("bt709"), InlineData("srgb"), InlineData("gamma2.2"), InlineData("gamma2.4"), InlineData("gamma2.8"), InlineData("hlg"), InlineData("pq"), InlineData("linear")]
    public void Every_curve_rises_over_all_codes_also_below_black_and_above_white(string name)
    {
        TransferFunction curve = TransferFunction.Parse(name);
        double[] table = LightTable.Build(curve, new SignalScale(SignalRange.Limited, 10));
        for (int code = 1; code < table.Length; code++)
        {
            Assert.True(double.IsFinite(table[code]));
            // BT.709's published three-decimal constants step back by 0.3 % at the break.
            Assert.True(table[code] > table[code - 1] * (name == "bt709" && table[code] is > 0.0175 and < 0.0185 ? 0.995 : 1) || table[code] <= 0, $"{name} falls at {code}");
        }
        Assert.Equal(0, curve.ToLinear(0), 1e-9);
        Assert.True(curve.ToLinear(-0.05) < 0, "Noise below black must be able to cancel noise above.");
    }

    [Theory]
    [InlineData("BT709", "bt709"), InlineData("bt601", "bt709"), InlineData("bt2020", "bt709"), InlineData(" sRGB ", "srgb")]
    public void Reads_names(string text, string name) => Assert.Equal(name, TransferFunction.Parse(text).Name);

    [Fact]
    public void An_unknown_name_is_refused_with_the_known_ones()
    {
        InputException problem = Assert.Throws<InputException>(() => TransferFunction.Parse("vivid"));
        Assert.Equal("'vivid' is not a transfer curve: name one of bt709, srgb, gamma2.2, gamma2.4, gamma2.8, hlg, pq, linear, or give a one-dimensional .cube table.", problem.Message);
    }

    [Fact]
    public void Luminance_shares_sum_to_one()
    {
        foreach (LuminanceWeights shares in new[] { LuminanceWeights.Bt709, LuminanceWeights.Bt601, LuminanceWeights.Bt2020, LuminanceWeights.P3 })
            Assert.Equal(1, shares.Red + shares.Green + shares.Blue, 1e-9);
    }
}
