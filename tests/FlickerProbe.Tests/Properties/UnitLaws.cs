using System.Globalization;
using System.Numerics;
using FlickerProbe.Camera;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Properties;

/// <summary>Quantities survive being written and read, and the arithmetic on them keeps its algebra.</summary>
public class UnitLaws
{
    [Law]
    internal void A_frame_rate_survives_being_written_and_read(FrameRate rate)
    {
        Assert.Equal(rate, FrameRate.Parse(rate.ToString()));
        Assert.Equal(rate, FrameRate.Parse("  " + rate + " "));
        Assert.Equal(BigInteger.One, BigInteger.GreatestCommonDivisor(rate.Numerator, rate.Denominator));
        Assert.Equal(1, rate.Hertz * rate.PeriodSeconds, 1e-12);
    }

    [Law]
    internal void A_fraction_times_any_number_is_the_same_rate(FrameRate rate, FsCheck.PositiveInt factor)
    {
        long f = factor.Get % 1000 + 1;
        FrameRate same = FrameRate.FromRational(rate.Numerator * f, rate.Denominator * f);
        Assert.Equal(rate, same);
        Assert.Equal(rate.GetHashCode(), same.GetHashCode());
    }

    [Law]
    internal void A_rate_in_decimals_is_exact(FsCheck.PositiveInt thousandths)
    {
        // Any decimal number of at most three places is a fraction over 1000.
        int n = 1000 + thousandths.Get * 7919 % 99_000_000;
        string text = (n / 1000m).ToString("0.000", CultureInfo.InvariantCulture);
        FrameRate rate = FrameRate.Parse(text);
        bool shortForm = text is "23.976" or "23.980" or "29.970" or "47.952" or "47.950" or "59.940" or "119.880";
        Assert.True(shortForm || (BigInteger)rate.Numerator * 1000 == (BigInteger)n * rate.Denominator, text);
    }

    [Law]
    internal void The_alias_is_what_sampling_leaves(FrameRate rate, FsCheck.PositiveInt decihertz, FsCheck.NonNegativeInt wraps)
    {
        double hz = decihertz.Get % 200_000 / 10.0 + 0.1;
        double alias = AliasFrequency.Of(hz, rate);
        double half = rate.Hertz / 2;
        Assert.InRange(alias, -half * (1 + 1e-12), half * (1 + 1e-12));
        // f − α is a whole number of frame rates.
        double turns = (hz - alias) / rate.Hertz;
        Assert.Equal(Math.Round(turns), turns, 1e-9 * Math.Max(1, turns));
        // Adding frame rates changes nothing (away from the half rate, where rounding may choose either end).
        if (half - Math.Abs(alias) > 1e-6 * rate.Hertz)
            Assert.Equal(alias, AliasFrequency.Of(hz + wraps.Get % 50 * rate.Hertz, rate), 1e-9 * (hz + 50 * rate.Hertz));
    }

    [Law]
    internal void A_shutter_is_read_alike_however_it_is_written(FrameRate rate, FsCheck.PositiveInt share)
    {
        double seconds = rate.PeriodSeconds * (share.Get % 1000 + 1) / 1001;
        string number = seconds.ToString("0.################", CultureInfo.InvariantCulture);
        string milli = (seconds * 1000).ToString("0.################", CultureInfo.InvariantCulture);
        string degrees = (seconds / rate.PeriodSeconds * 360).ToString("0.################", CultureInfo.InvariantCulture);
        string reciprocal = "1/" + (1 / seconds).ToString("0.################", CultureInfo.InvariantCulture);
        foreach (string text in new[] { number + "s", milli + "ms", degrees + "deg", degrees + "°", " " + number + " s ", reciprocal })
            Assert.Equal(seconds, ExposureTime.Parse(text, rate).Seconds, 1e-9 * seconds + 1e-15);
    }

    [Law]
    internal void A_readout_and_its_opposite_are_mirror_images(FsCheck.PositiveInt microseconds)
    {
        double seconds = (microseconds.Get % 199_000 + 1) * 1e-6;
        string text = (seconds * 1000).ToString("0.######", CultureInfo.InvariantCulture) + "ms";
        ReadoutTime down = ReadoutTime.Parse(text), up = ReadoutTime.Parse("-" + text);
        Assert.Equal(seconds, down.Seconds, 1e-12);
        Assert.Equal(-down.Seconds, up.Seconds);
        Assert.Equal(down.RelativeDeviation, up.RelativeDeviation);
        Assert.False(down.IsGlobal);
    }

    [Law]
    internal void Scaling_and_cutting_keep_an_interval_in_order(FsCheck.NormalFloat a, FsCheck.NormalFloat b, FsCheck.NormalFloat c, FsCheck.PositiveInt factor)
    {
        double[] sorted = [a.Get, b.Get, c.Get];
        Array.Sort(sorted);
        var estimate = new Estimate(sorted[1], sorted[0], sorted[2]);
        foreach (Estimate e in new[] { estimate.Scale(factor.Get / 7.0), estimate.Within(-1, 1), estimate.Scale(3).Within(0, 0.5) })
            Assert.True(e.Low <= e.Value && e.Value <= e.High);
        Assert.True(estimate.Holds(estimate.Value) && estimate.Holds(estimate.Low) && estimate.Holds(estimate.High));
    }

    [Law]
    internal void A_share_is_the_same_in_per_cent(FsCheck.NonNegativeInt n)
    {
        decimal percent = n.Get * 31 % 100_001 / 1000m;
        string text = percent.ToString(CultureInfo.InvariantCulture), ratio = (percent / 100).ToString(CultureInfo.InvariantCulture);
        Assert.Equal(Parsing.Share(ratio)!.Value, Parsing.Share(text + "%")!.Value, 1e-12);
        Assert.Null(Parsing.Share("-0.001"));
        Assert.Null(Parsing.Share((percent + 100.001m).ToString(CultureInfo.InvariantCulture) + "%"));
    }

    [Law]
    internal void No_text_makes_a_parser_do_worse_than_refuse(string? anything)
    {
        string text = anything ?? "";
        Assert.True(Parsing.Number(text) is null or double and not double.NaN);
        Assert.True(Parsing.Share(text) is null or (>= 0 and <= 1));
        Assert.True(Parsing.Hertz(text) is null or > 0);
        _ = Parsing.Seconds(text);
        Refuses(() => FrameRate.Parse(text));
        Refuses(() => ExposureTime.Parse(text, FrameRate.Parse("25")));
        Refuses(() => ReadoutTime.Parse(text));
        Refuses(() => CameraFormat.Parse(text));
        Refuses(() => Footage.Region.Parse(text));
        Refuses(() => FlickerProbe.Light.TransferFunction.Parse(text));
    }

    [Law]
    internal void No_number_and_unit_makes_a_parser_do_worse_than_refuse(FsCheck.NonNegativeInt pick, long a, long b)
    {
        string[] numbers = [a.ToString(CultureInfo.InvariantCulture), $"{a}/{b}", $"{a}.{Math.Abs((decimal)b)}", "1e" + b % 400, "-0", "1/0", "9223372036854775807/9223372036854775807"];
        string[] endings = ["", "s", "ms", "us", "deg", "°", "%", "Hz", "kHz", "@1/50", "@4ms@16ms", "±1ms", ",1,1,1"];
        No_text_makes_a_parser_do_worse_than_refuse(numbers[pick.Get % numbers.Length] + endings[pick.Get / 7 % endings.Length]);
    }

    private static void Refuses(Action read)
    {
        try
        {
            read();
        }
        catch (InputException sentence)
        {
            Assert.EndsWith(".", sentence.Message, StringComparison.Ordinal);
        }
    }
}
