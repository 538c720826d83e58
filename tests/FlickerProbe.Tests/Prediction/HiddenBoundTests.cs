using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

public class HiddenBoundTests
{
    private static double Bound(string format, params BlindSpot[] takes) => new HiddenBound(takes).At(CameraFormat.Parse(format)).Depth;

    [Fact]
    public void At_the_takes_own_exposure_the_bound_is_the_takes_limit() =>
        Assert.Equal(0.0012, Bound("25@1/250", TestLights.Take("25", 1 / 250.0, 0.0012)), 6);

    [Theory] // 1/50 and 1/125 are whole multiples of 1/250: the take's nulls are theirs too. A clean take must stay able to pass them.
    [InlineData("25@1/50")]
    [InlineData("29.97@1/125")]
    [InlineData("25@1/25")]
    public void A_whole_multiple_of_the_takes_exposure_stays_passable(string format)
    {
        FormatForecast forecast = Forecaster.Forecast(TestLights.Nothing(TestLights.Take("25", 1 / 250.0)), CameraFormat.Parse(format));
        Assert.InRange(forecast.ModulationDepth.High, 0.0009, 0.0075);
        Assert.Equal(Ruling.Pass, Judge.Format(forecast, Policy.Default).Ruling);
    }

    [Theory] // The measurement model's first trap, and its kin: what the take's shutter hides, the house's shutter may show.
    [InlineData("30@1/120", 50, 100)] // 100 Hz hidden at 1/50
    [InlineData("30@1/120", 250, 1000)]
    [InlineData("30@1/60", 250, 1000)]
    [InlineData("25@1/100", 60, 120)]
    [InlineData("25@1/50", 120, 120)]
    [InlineData("59.94@1/1000", 500, 500)]
    public void A_light_at_a_null_of_the_take_never_passes_where_it_shows(string format, double takeReciprocal, double hiddenHz)
    {
        LightEstimate clean = TestLights.Nothing(TestLights.Take("25", 1 / takeReciprocal, 0.0005));
        FormatForecast forecast = Forecaster.Forecast(clean, CameraFormat.Parse(format));
        // What a fully modulated sine at that frequency really shows there.
        double truth = Math.Abs(ExposureGain.At(hiddenHz, forecast.Format.Exposure!.Seconds));

        Assert.True(forecast.ModulationDepth.High >= truth, $"{forecast.ModulationDepth.High} < {truth}");
        Judgement judgement = Judge.Format(forecast, Policy.Default);
        Assert.Equal(Ruling.Watch, judgement.Ruling);
        Assert.Equal(FindingCodes.HiddenAtShutter, judgement.Reasons[0].Code);
    }

    [Fact]
    public void A_half_wave_lamp_that_may_stand_still_counts_in_every_format_until_another_rate_rules_it_out()
    {
        BlindSpot open = TestLights.Take("25", 1 / 250.0, 0.001) with { HalfWaveBound = 0.03 };
        double seen = ExposureGain.At(50, 1 / 250.0), shown = ExposureGain.At(50, 1 / 125.0);
        Assert.Equal(0.03, Bound("30@1/250", open), 6);
        Assert.Equal(0.03 / seen * shown, Bound("30@1/125", open), 6);
        // 50 Hz rolls at 29.97 frames a second.
        Assert.InRange(Bound("30@1/250", open, TestLights.Take("30000/1001", 1 / 250.0, 0.001)), 0.001, 0.0011);
    }

    [Theory] // Slow twin: every frequency on a fine grid, exact shutters only; the search must not miss a peak, nor invent one.
    [InlineData("30@1/120", 0.001, 250, 0)]
    [InlineData("30@1/500", 0.002, 250, 0)]
    [InlineData("30@1/60", 0.001, 250, 200)]
    [InlineData("25@1/50", 0.003, 120, 0)]
    [InlineData("25@1/1000", 0.001, 60, 50)]
    [InlineData("24@180deg", 0.0007, 1000, 96)]
    public void The_search_finds_what_trying_every_frequency_finds(string formatText, double limit, double first, double second)
    {
        CameraFormat format = TestLights.Format(formatText);
        BlindSpot[] takes = [TestLights.Take("25", 1 / first, limit), .. second == 0 ? [] : new[] { TestLights.Take("30", 1 / second, limit) }];
        double slow = 0;
        for (double f = 30; f < 20_000; f += 0.05)
        {
            double amplitude = takes.Min(t => Math.Min(2, limit / Math.Max(1e-12, Math.Abs(ExposureGain.At(f, t.ExposureSeconds!.Value)))));
            slow = Math.Max(slow, amplitude * Math.Abs(ExposureGain.At(f, format.Exposure!.Seconds)));
        }
        slow = Math.Min(1, slow);
        double fast = new HiddenBound(takes).At(format).Depth;
        Assert.InRange(fast, 0.97 * slow, 1.6 * slow + 0.004);
    }

    [Fact]
    public void A_second_take_can_only_lower_the_bound()
    {
        double one = Bound("30@1/60", TestLights.Take("25", 1 / 250.0));
        double two = Bound("30@1/60", TestLights.Take("25", 1 / 250.0), TestLights.Take("25", 1 / 180.0));
        double own = Bound("30@1/60", TestLights.Take("25", 1 / 250.0), TestLights.Take("25", 1 / 60.0));
        Assert.True(two < one);
        Assert.Equal(0.001, own, 4);
    }

    [Fact]
    public void A_slow_shutter_says_little_of_a_fast_one_even_for_fast_drivers() =>
        // 25 kHz, duty 0.1: 4 % at 1/2000 s (check by brute force in the tests), 0.1 % at 1/48 s: a clean take at 1/48 with limit 0.1 % must not exclude it.
        Assert.True(Bound("30@1/2000", TestLights.Take("24", 1 / 48.0)) > 0.04);

    [Fact]
    public void Lights_locked_to_the_take_count_until_another_frame_rate_excludes_them()
    {
        BlindSpot locked = TestLights.Take("25", 1 / 60.0, 0.001, locked: 0.02);
        HiddenRemainder alone = new HiddenBound([locked]).At(CameraFormat.Parse("25@1/60"));
        Assert.Equal(0.02, alone.Depth, 3);
        Assert.True(alone.IsLocked);
        Assert.Equal(0.001, Bound("25@1/60", locked, TestLights.Take("29.97", 1 / 60.0)), 4);
    }

    [Fact]
    public void Without_the_takes_shutter_nothing_is_bounded_but_the_very_same_setting()
    {
        BlindSpot unknown = TestLights.Take("25", 1) with { ExposureSeconds = null };
        Assert.Equal(1, Bound("25@1/50", unknown));
        Assert.Equal(0.001, new HiddenBound([unknown]).At(new CameraFormat(TestLights.Rate("25"), null, null)).Depth, 6);
        Assert.Equal(1, new HiddenBound([unknown]).At(new CameraFormat(TestLights.Rate("30"), null, null)).Depth);
    }

    [Fact]
    public void Without_any_take_there_is_no_pass()
    {
        FormatForecast forecast = Forecaster.Forecast(TestLights.Nothing(), CameraFormat.Parse("25@1/50"));
        Assert.Equal(1, forecast.ModulationDepth.High);
        Assert.Equal(Ruling.Watch, Judge.Format(forecast, Policy.Default).Ruling);
    }
}
