using System.Globalization;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Quantities;

/// <summary>Numbers as people write and read them; expected values by hand.</summary>
public class QuantityTests
{
    [Theory]
    [InlineData("0", "0.000 %")]
    [InlineData("0.0001", "0.010 %")]
    [InlineData("0.000994", "0.099 %")]
    [InlineData("0.000995", "0.10 %")]
    [InlineData("0.0085", "0.85 %")]
    [InlineData("0.00994", "0.99 %")]
    [InlineData("0.00995", "1.0 %")]
    [InlineData("0.0994", "9.9 %")]
    [InlineData("0.0995", "10 %")]
    [InlineData("0.5", "50 %")]
    [InlineData("-0.5", "-50 %")]
    [InlineData("-0.0085", "-0.85 %")]
    public void Two_digits_that_count(string ratio, string text) => Assert.Equal(text, Percent.Of(double.Parse(ratio, CultureInfo.InvariantCulture)));

    [Theory]
    [InlineData("1/250", 0.004)]
    [InlineData("-1/250", -0.004)]
    [InlineData("4ms", 0.004)]
    [InlineData("4 MS", 0.004)]
    [InlineData("250us", 0.00025)]
    [InlineData("250µs", 0.00025)]
    [InlineData("0.004s", 0.004)]
    [InlineData("1/250s", 0.004)]
    [InlineData(" 1/250 ", 0.004)]
    [InlineData("1/2ms", 0.0005)]
    public void Times_in_every_spelling(string text, double seconds) => Assert.Equal(seconds, Parsing.Seconds(text)!.Value, 1e-15);

    [Theory]
    [InlineData("")]
    [InlineData("4")]
    [InlineData("ms")]
    [InlineData("s")]
    [InlineData("1/0")]
    [InlineData("1/0s")]
    [InlineData("1/2/3")]
    [InlineData("1/x")]
    [InlineData("x/2")]
    [InlineData("4,5ms")]
    [InlineData("NaNs")]
    [InlineData("1e999s")]
    public void No_times(string text) => Assert.Null(Parsing.Seconds(text));

    [Theory]
    [InlineData("50%", 0.5)]
    [InlineData("0.5", 0.5)]
    [InlineData("0", 0)]
    [InlineData("0%", 0)]
    [InlineData("100%", 1)]
    [InlineData("1", 1)]
    [InlineData(" 12.5 % ", 0.125)]
    public void Shares(string text, double share) => Assert.Equal(share, Parsing.Share(text));

    [Theory]
    [InlineData("101%")]
    [InlineData("1.01")]
    [InlineData("-1%")]
    [InlineData("-0.1")]
    [InlineData("%")]
    [InlineData("half")]
    public void No_shares(string text) => Assert.Null(Parsing.Share(text));

    [Theory]
    [InlineData("120Hz", 120)]
    [InlineData("120 hz", 120)]
    [InlineData("1.2kHz", 1200)]
    [InlineData("1.2 KHZ", 1200)]
    [InlineData("120", 120)]
    [InlineData(" 0.5 ", 0.5)]
    public void Frequencies(string text, double hertz) => Assert.Equal(hertz, Parsing.Hertz(text));

    [Theory]
    [InlineData("0Hz")]
    [InlineData("-5Hz")]
    [InlineData("0")]
    [InlineData("kHz")]
    [InlineData("Hz")]
    [InlineData("fast")]
    public void No_frequencies(string text) => Assert.Null(Parsing.Hertz(text));

    [Fact]
    public void Numbers_are_finite_and_have_a_decimal_point()
    {
        Assert.Equal(-1.5e-3, Parsing.Number(" -1.5e-3 "));
        foreach (string text in new[] { "", "1,5", "inf", "NaN", "1e999", "0x10" }) Assert.Null(Parsing.Number(text));
        Assert.Equal(0.25, Parsing.Ratio("1/4"));
        Assert.Equal(3, Parsing.Ratio("3"));
        Assert.Null(Parsing.Ratio("1/0"));
    }

    [Fact]
    public void An_estimate_holds_its_ends_and_scales_whole()
    {
        Estimate normal = Estimate.Normal(10, 2);
        // 1.959964 standard deviations to either side: the 97.5 % point of the normal distribution, any table.
        Assert.Equal(10 - 3.919928, normal.Low, 6);
        Assert.Equal(10 + 3.919928, normal.High, 6);
        Assert.True(normal.Holds(normal.Low) && normal.Holds(normal.High) && normal.Holds(10));
        Assert.False(normal.Holds(6.08) || normal.Holds(13.92));
        Assert.Equal(new Estimate(20, 2 * normal.Low, 2 * normal.High), normal.Scale(2));
        Assert.Equal(new Estimate(9, 8, 9), normal.Within(8, 9));
        Assert.Equal(new Estimate(0, 0, 0.3), Estimate.AtMost(0.3));
        Assert.Equal(new Estimate(4, 4, 4), Estimate.Exactly(4));
    }

    [Fact]
    public void A_refusal_keeps_its_cause()
    {
        var cause = new IOException("disk");
        Assert.Same(cause, new InputException("sentence.", cause).InnerException);
        Assert.Equal("sentence.", new InputException("sentence.").Message);
    }
}
