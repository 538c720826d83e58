using FlickerProbe.Camera;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Verdict;
using Waveform = FlickerProbe.Rendering.Light.Waveform;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Two takes of one lamp whose driver's clock went between them: no verdict may rest on the rate having been kept.</summary>
public class WanderingDriverTests
{
    private static readonly string[] Formats = ["25@1/50", "25@1/250", "30000/1001@1/60", "50@1/100", "50@1/320", "60000/1001@1/125"];

    private static Judged Shot(Func<double, Waveform> lamp, (double Hertz, string Rate, double Over) first, (double Hertz, string Rate, double Over) second, double readoutSeconds)
    {
        SyntheticTake Take((double Hertz, string Rate, double Over) t, int seed) => new()
        {
            Light = lamp(t.Hertz), Rate = t.Rate, ExposureSeconds = 1 / t.Over, ReadoutSeconds = readoutSeconds, Frames = 200, Rows = 72, Seed = seed,
        };
        Judged judged = Judged.Of(Take(first, 1), Take(second, 2));
        foreach (string format in Formats)
        {
            double exposure = CameraFormat.Parse(format).Exposure!.Seconds;
            double before = Take(first, 1).TrueDepth(exposure), after = Take(second, 2).TrueDepth(exposure);
            Judgement judgement = judged.At(format);
            Assert.False(judgement.Ruling == Ruling.Pass && Math.Min(before, after) > Policy.Default.Depth.Pass, $"pass at {format}, true {before:P2}");
            Assert.False(judgement.Ruling == Ruling.Fail && Math.Max(before, after) < Policy.Default.Depth.Fail, $"fail at {format}, true {before:P2}");
        }
        return judged;
    }

    private static Waveform Sine(double hertz) => Waveform.Sine(hertz, 0.25);

    private static Waveform Pulses(double hertz) => new PulseLight { FrequencyHz = hertz, Duty = 0.5, Low = 0.3 };

    [Theory]
    [InlineData(1034.451)]
    [InlineData(1036.521)]
    public void A_thousandth_strikes_no_true_rate_from_a_long_list(double after)
    {
        // 72 rows leave 176 rates open in each take; those above 17 kHz, which alone seemed to fit both, would have passed.
        Judged judged = Shot(Sine, (1035.486, "24000/1001", 1000), (after, "50", 1000), 0.012);
        Assert.Contains(judged.Light.CandidatesHz, f => Math.Abs(f - after) < 0.01 || Math.Abs(f - 1035.486) < 0.01);
    }

    [Theory]
    [InlineData(250.25)] // a thousandth
    [InlineData(251.5)] // six thousandths
    public void What_came_to_stand_still_is_not_absent(double before)
    {
        Judged judged = Shot(Pulses, (before, "30000/1001", 640), (250, "25", 640), 0);
        Assert.Contains(judged.Light.CandidatesHz, f => Math.Abs(f - before) < 0.1);
    }

    [Theory]
    [InlineData(236.196, 0.001)]
    [InlineData(236.196, 0.003)]
    [InlineData(236.196, -0.008)]
    public void One_light_at_two_rates_is_counted_once(double hertz, double drift)
    {
        // Counted as two lights it would fail at 1/50, 1/125 and 1/250 s, where it shows 2.5 to 2.9 %.
        double after = hertz * (1 + drift);
        Judged judged = Shot(Sine, (hertz, "50", 1000), (after, "24000/1001", 640), 0.012);
        Assert.True(judged.Light.FundamentalHz is { } f && f.Holds(hertz) && f.Holds(after), $"{judged.Light.FundamentalHz}");
        Assert.Equal(Math.Abs(drift) > 0.002, judged.Light.Findings.Any(f => f.Code == FindingCodes.RateWandered));
    }

    [Theory]
    [InlineData(600, 600)]
    [InlineData(600, 599.82)]
    [InlineData(300, 299.67)]
    [InlineData(1200, 1200)]
    public void The_depth_of_a_take_in_which_the_light_stands_still_is_not_the_lights(double first, double second)
    {
        // At 25 the light stands, so that this take recorded nothing that moves; the other shows it, and 1/250 s would show 2 to 9 %.
        Judged judged = Shot(Pulses, (first, "25", 250), (second, "30000/1001", 1000), 0.01);
        FormatForecast forecast = Forecaster.Forecast(judged.Light, CameraFormat.Parse("25@1/250"), judged.Takes);
        double depth = new SyntheticTake { Light = Pulses(first) }.TrueDepth(1 / 250.0);
        Assert.InRange(depth, 0.02, 0.1);
        Assert.True(forecast.ModulationDepth.Holds(depth), $"{forecast.ModulationDepth} for {depth}");
    }
}
