using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Tests.Measurement;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Verdict;

/// <summary>"Shoot this next" is worth what following it brings: a steady light passes after a few takes, and no take is asked for twice.</summary>
public class FollowedAdviceTests
{
    /// <summary>A good take of a steady light on a shaded wall, measured.</summary>
    private static TakeMeasurement Steady(CameraFormat format) => Judged.Of(new SyntheticTake
    {
        Light = new SteadyLight(), Rate = format.Rate.ToString(), ExposureSeconds = format.Exposure!.Seconds, ReadoutSeconds = format.Readout!.Seconds,
        Frames = (int)(10 * format.Rate.Hertz), Rows = 64, Seed = 2, Scene = (_, strip, down) => 1 + 0.1 * down - 0.06 * down * down + 0.01 * strip * down,
    }).Take;

    [Theory]
    [InlineData("25@1/50@16ms", "25@1/50@16ms", 3)]
    [InlineData("25@1/50@16ms", "25@1/50@16ms 50@1/100@16ms", 4)]
    [InlineData("29.97@1/60@16ms", "29.97@1/60@16ms 29.97@1/100@16ms", 3)]
    [InlineData("25@1/250@16ms", "25@1/50@16ms 29.97@1/60@16ms", 4)]
    [InlineData("50@1/1000@8ms", "50@1/100@8ms 50@1/50@8ms", 4)]
    [InlineData("24@1/48@20ms", "24@1/48@20ms", 3)]
    [InlineData("25@1/50@global", "25@1/50@global", 4)]
    [InlineData("29.97@1/60@global", "29.97@1/60@global 29.97@1/100@global", 5)]
    [InlineData("29.97@1/1000@global", "29.97@1/1000@global", 5)]
    [InlineData("25@1/1000@global", "25@1/1000@global", 5)]
    [InlineData("60@1/120@5ms", "60@1/120@5ms 30@1/60@5ms", 4)]
    public void A_steady_light_passes_after_a_few_takes_that_were_asked_for(string first, string house, int most)
    {
        CameraFormat[] formats = [.. house.Split(' ').Select(CameraFormat.Parse)];
        CameraFormat start = CameraFormat.Parse(first);
        List<TakeMeasurement> takes = [Steady(start)];
        string told = "";
        while (true)
        {
            LightEstimate light = LightFusion.Fuse(takes);
            Judgement[] judgements = [.. formats.Select(f => Judge.Format(Forecaster.Forecast(light, f), takes, Policy.Default))];
            if (judgements.All(j => j.Ruling == Ruling.Pass)) return;
            NextTake? next = NextTake.Suggest(light, takes, formats, Policy.Default);
            Assert.True(next is not null, $"nothing more to shoot, and no pass: {string.Join(" | ", judgements.SelectMany(j => j.Reasons).Select(r => r.Message))}\n{told}");
            told += $"\n{next.Sentence} {next.Why}";
            Assert.False(takes.Exists(t => t.Take.Rate == next.Rate && Math.Abs(t.Take.Exposure!.Seconds / next.Exposure.Seconds - 1) < 0.002), "asked for twice:" + told);
            takes.Add(Steady(new CameraFormat(next.Rate, next.Exposure, start.Readout)));
            Assert.True(takes.Count <= most, "no end:" + told + "\n" + string.Join(" | ", judgements.SelectMany(j => j.Reasons).Select(r => r.Message)));
        }
    }
}
