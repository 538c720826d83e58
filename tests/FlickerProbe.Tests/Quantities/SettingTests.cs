using FlickerProbe.Camera;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Quantities;

/// <summary>Frame rates, shutters, readouts and formats as people write them; expected values by hand.</summary>
public class SettingTests
{
    private static readonly FrameRate At25 = FrameRate.Parse("25");

    [Theory] // Rates n/1001 in their short spelling: common practice of the trade, Recommendation ITU-R BT.2020.
    [InlineData("23.976", "24000/1001", "23.976")]
    [InlineData("23.98", "24000/1001", "23.976")]
    [InlineData("29.97", "30000/1001", "29.97")]
    [InlineData("47.952", "48000/1001", "47.95")]
    [InlineData("47.95", "48000/1001", "47.95")]
    [InlineData("59.94", "60000/1001", "59.94")]
    [InlineData("119.88", "120000/1001", "119.88")]
    [InlineData("25", "25", "25")]
    [InlineData("12.5", "25/2", "12.5")]
    [InlineData("50/2", "25", "25")]
    [InlineData("1", "1", "1")]
    [InlineData("100000", "100000", "100000")]
    [InlineData("24.975", "999/40", "24.975")]
    public void Rates_are_exact(string text, string exact, string shown)
    {
        FrameRate rate = FrameRate.Parse(text);
        Assert.Equal((exact, shown), (rate.ToString(), rate.ToShortText()));
        Assert.True(FrameRate.TryParse(text, out FrameRate? same));
        Assert.Equal(rate, same);
    }

    [Theory]
    [InlineData("")]
    [InlineData("0")]
    [InlineData("0.99")]
    [InlineData("100001")]
    [InlineData("200000/1")]
    [InlineData("1/2")]
    [InlineData("-25")]
    [InlineData("25/0")]
    [InlineData("0/1")]
    [InlineData("25/1/1")]
    [InlineData("25/x")]
    [InlineData("x/25")]
    [InlineData("2e1")]
    [InlineData("fast")]
    public void No_rates(string text)
    {
        Assert.False(FrameRate.TryParse(text, out FrameRate? none));
        Assert.Null(none);
        Assert.Contains($"'{text}' is not a frame rate", Assert.Throws<InputException>(() => FrameRate.Parse(text)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_fraction_has_positive_parts()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => FrameRate.FromRational(0, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => FrameRate.FromRational(25, 0));
        Assert.Equal((30000L, 1001L), (FrameRate.FromRational(60000, 2002).Numerator, FrameRate.FromRational(60000, 2002).Denominator));
        Assert.Equal(1001.0 / 30000, FrameRate.Parse("29.97").PeriodSeconds);
        Assert.Equal(30000.0 / 1001, FrameRate.Parse("29.97").Hertz);
    }

    [Theory] // Sampling theorem, any text: f − kF in (−F/2, F/2].
    [InlineData(120, "30000/1001", 120.0 / 1001)]
    [InlineData(100, "25", 0)]
    [InlineData(112.5, "25", 12.5)]
    [InlineData(87.5, "25", 12.5)]
    [InlineData(120, "25", -5)]
    [InlineData(10, "25", 10)]
    [InlineData(15, "25", -10)]
    public void Aliases(double hertz, string rate, double alias) => Assert.Equal(alias, AliasFrequency.Of(hertz, FrameRate.Parse(rate)), 12);

    [Theory]
    [InlineData("1/250", 0.004, "1/250 s")]
    [InlineData("4ms", 0.004, "1/250 s")]
    [InlineData("180deg", 0.02, "1/50 s")]
    [InlineData("180DEG", 0.02, "1/50 s")]
    [InlineData("172.8°", 0.0192, "1/52 s")]
    [InlineData("1/33.3", 1 / 33.3, "1/33.3 s")]
    [InlineData("360deg", 0.04, "1/25 s")]
    [InlineData("40.06ms", 0.04, "1/25 s")] // a rounding of the menu's: the whole frame
    public void Shutters(string text, double seconds, string shown)
    {
        ExposureTime exposure = ExposureTime.Parse(text, At25);
        Assert.Equal(seconds, exposure.Seconds, 12);
        Assert.Equal(shown, exposure.ToShortText());
        Assert.Equal(0.005, exposure.RelativeDeviation);
    }

    [Theory]
    [InlineData("0", "is not a shutter")]
    [InlineData("0s", "is not a shutter")]
    [InlineData("-1/50", "is not a shutter")]
    [InlineData("0deg", "is not a shutter")]
    [InlineData("deg", "is not a shutter")]
    [InlineData("250", "is not a shutter")]
    [InlineData("361deg", "longer than one frame at 25")]
    [InlineData("1/20", "longer than one frame at 25 frames per second (40 ms)")]
    [InlineData("40.1ms", "longer than one frame")]
    public void No_shutters(string text, string says) => Assert.Contains(says, Assert.Throws<InputException>(() => ExposureTime.Parse(text, At25)).Message, StringComparison.Ordinal);

    [Fact]
    public void Long_shutters_are_said_in_seconds()
    {
        Assert.Equal("0.8 s", ExposureTime.FromSeconds(0.8).ToShortText());
        Assert.Equal("1/1.5 s", ExposureTime.FromSeconds(1 / 1.5).ToShortText());
        foreach (double none in new[] { 0, -1, double.NaN, double.PositiveInfinity }) Assert.Throws<ArgumentOutOfRangeException>(() => ExposureTime.FromSeconds(none));
    }

    [Theory]
    [InlineData("16ms", 0.016, "16 ms")]
    [InlineData("-16ms", -0.016, "-16 ms")]
    [InlineData("0.016s", 0.016, "16 ms")]
    [InlineData("global", 0, "global shutter")]
    [InlineData(" GLOBAL ", 0, "global shutter")]
    [InlineData("200ms", 0.2, "200 ms")]
    [InlineData("8.333ms", 0.008333, "8.33 ms")]
    public void Readouts(string text, double seconds, string shown)
    {
        ReadoutTime readout = ReadoutTime.Parse(text);
        Assert.Equal(seconds, readout.Seconds, 12);
        Assert.Equal(seconds == 0, readout.IsGlobal);
        Assert.Equal(shown, readout.ToShortText());
        Assert.Equal(seconds == 0 ? 0 : 0.0025, readout.RelativeDeviation);
    }

    [Theory]
    [InlineData("16ms±0.1ms")]
    [InlineData("16ms+-0.1ms")]
    [InlineData("-16ms±0.1ms")]
    public void A_tolerance_is_a_95_percent_one(string text) =>
        Assert.Equal(0.1 / 16 / 1.959964, ReadoutTime.Parse(text).RelativeDeviation, 9);

    [Theory]
    [InlineData("0ms", "is not a readout time")]
    [InlineData("16", "is not a readout time")]
    [InlineData("16ms±", "is not a readout time")]
    [InlineData("16ms±0ms", "is not a readout time")]
    [InlineData("16ms±-1ms", "is not a readout time")]
    [InlineData("16ms±1ms±1ms", "is not a readout time")]
    [InlineData("201ms", "is not possible for video")]
    [InlineData("-201ms", "is not possible for video")]
    public void No_readouts(string text, string says) => Assert.Contains(says, Assert.Throws<InputException>(() => ReadoutTime.Parse(text)).Message, StringComparison.Ordinal);

    [Fact]
    public void A_readout_of_nothing_is_global()
    {
        Assert.Same(ReadoutTime.Global, ReadoutTime.FromSeconds(0));
        Assert.Throws<ArgumentOutOfRangeException>(() => ReadoutTime.FromSeconds(double.NaN));
    }

    [Theory]
    [InlineData("25@1/50", "25 fps at 1/50 s", null)]
    [InlineData("59.94@180deg", "59.94 fps at 1/120 s", null)]
    [InlineData("25@1/50@16ms", "25 fps at 1/50 s", 0.016)]
    [InlineData("30000/1001@0.004s@global", "29.97 fps at 1/250 s", 0.0)]
    public void Formats(string text, string shown, double? readout)
    {
        CameraFormat format = CameraFormat.Parse(text);
        Assert.Equal(shown, format.ToShortText());
        Assert.Equal(readout, format.Readout?.Seconds);
        Assert.Equal("hall, " + shown, (format with { CameraName = "hall" }).ToShortText());
    }

    [Theory]
    [InlineData("25")]
    [InlineData("25@1/50@16ms@x")]
    public void No_formats(string text) => Assert.Contains("is not a format", Assert.Throws<InputException>(() => CameraFormat.Parse(text)).Message, StringComparison.Ordinal);

    [Fact]
    public void A_format_without_its_shutter_says_so() => Assert.Equal("25 fps, shutter unknown", new CameraFormat(At25, null, null).ToShortText());

    [Theory] // sin(πfT)/(πfT), recomputed; any text on sampling.
    [InlineData(100, 0.02, 0)]
    [InlineData(120, 0.02, 0.126138)]
    [InlineData(150, 0.01, -0.212207)]
    [InlineData(0, 0.02, 1)]
    [InlineData(50, 0.01, 0.636620)]
    public void Gains(double hertz, double seconds, double gain) => Assert.Equal(gain, ExposureGain.At(hertz, seconds), 6);

    [Fact]
    public void The_gain_is_smooth_where_its_formula_changes()
    {
        const double x = 1e-4 / Math.PI; // πfT = 10⁻⁴
        Assert.Equal(ExposureGain.At(x * 1.001, 1), ExposureGain.At(x * 0.999, 1), 1e-10);
        Assert.Equal(ExposureGain.SlopePerRelativeExposure(x * 1.001, 1), ExposureGain.SlopePerRelativeExposure(x * 0.999, 1), 1e-10);
        // dG/d ln T = cos x − sin x / x, which is −x²/3 near rest.
        Assert.Equal(-1e-10 / 3, ExposureGain.SlopePerRelativeExposure(1e-5 / Math.PI, 1), 1e-15);
        Assert.Equal(-1, ExposureGain.SlopePerRelativeExposure(1, 1), 12);
        Assert.Equal(1 / (Math.PI * 2), ExposureGain.Envelope(200, 0.01), 12);
        Assert.Equal(1, ExposureGain.Envelope(1, 0.01));
    }
}
