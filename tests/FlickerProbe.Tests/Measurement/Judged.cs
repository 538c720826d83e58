using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Takes of one light, measured and judged as the tool does it, beside what is true of the light.</summary>
internal sealed class Judged
{
    private readonly SyntheticTake _scene;
    private readonly LightEstimate _light;

    private Judged(SyntheticTake[] scenes)
    {
        _scene = scenes[0];
        Takes = [.. scenes.Select(s => TakeEstimator.Measure(s.Make(), new EstimatorOptions(WithExhibit: false), CancellationToken.None))];
        _light = LightFusion.Fuse(Takes);
    }

    public static Judged Of(params SyntheticTake[] scenes) => new(scenes);

    public TakeMeasurement[] Takes { get; }

    public TakeMeasurement Take => Takes[0];

    public LightEstimate Light => _light;

    public bool Warns(string code) => Takes.Any(t => t.Findings.Any(f => f.Code == code));

    public bool Forbids(string code) => Takes.Any(t => t.Findings.Any(f => f.Code == code && f.ForbidsPass));

    /// <summary>The verdict for a format such as 25@1/50, as the tool gives it.</summary>
    public Judgement At(string format) =>
        Judge.Format(Forecaster.Forecast(_light, CameraFormat.Parse(format)), Takes, Policy.Default);

    /// <summary>The tone nearest a true frequency; fails when it is further off than its own interval and a tenth of a hertz.</summary>
    public Tone Finds(double hertz)
    {
        Assert.True(Take.Tones.Count > 0, "no tone was found");
        Tone nearest = Take.Tones.MinBy(t => Math.Abs((t.FrequencyHz?.Value ?? double.PositiveInfinity) - hertz))!;
        Assert.True(nearest.FrequencyHz is { } f && Math.Abs(f.Value - hertz) < 0.1, $"{hertz} Hz expected, found {Describe(Take.Tones)}");
        return nearest;
    }

    /// <summary>No tone with one confident frequency may be any other than these.</summary>
    public void ClaimsNoneBut(params double[] hertz)
    {
        foreach (Tone tone in Take.Tones.Where(t => t.FrequencyHz is not null))
            Assert.True(hertz.Any(f => Math.Abs(tone.FrequencyHz!.Value.Value - f) < 0.2), $"{tone.FrequencyHz!.Value.Value} Hz of {tone.Amplitude.Value} is claimed");
    }

    /// <summary>No tone of 0.1 % or more: what counts as nothing in footage, the project's own line.</summary>
    public void ClaimsNothing() => Assert.True(Takes.All(t => t.Tones.All(x => x.Amplitude.Value < 0.001)), "found " + Describe(Takes.SelectMany(t => t.Tones)));

    /// <summary>True verdict or "cannot tell": no pass over the pass line, no fail under the fail line, and the upper end over the truth.</summary>
    public Judgement IsHonestAt(string format, double? trueDepth = null)
    {
        CameraFormat asked = CameraFormat.Parse(format);
        double depth = trueDepth ?? _scene.TrueDepth(asked.Exposure!.Seconds);
        FormatForecast forecast = Forecaster.Forecast(_light, asked, Takes);
        Judgement judgement = At(format);
        string told = string.Create(CultureInfo.InvariantCulture,
            $"{judgement.Ruling} at {format}: truth {depth:P2}, forecast {forecast.ModulationDepth.Low:P2} … {forecast.ModulationDepth.High:P2}, found {Describe(Take.Tones)}; {string.Join(' ', Take.Findings.Select(f => f.Code))}");
        Assert.False(judgement.Ruling == Ruling.Pass && depth >= Policy.Default.Depth.Pass, told);
        Assert.False(judgement.Ruling == Ruling.Fail && depth <= Policy.Default.Depth.Fail, told);
        if (judgement.Ruling == Ruling.Pass) Assert.True(forecast.ModulationDepth.High >= depth, told);
        return judgement;
    }

    /// <summary>Honest and decided: the verdict that is true.</summary>
    public void IsRightAt(string format)
    {
        Judgement judgement = IsHonestAt(format);
        double depth = _scene.TrueDepth(CameraFormat.Parse(format).Exposure!.Seconds);
        Ruling truth = depth < Policy.Default.Depth.Pass ? Ruling.Pass : depth > Policy.Default.Depth.Fail ? Ruling.Fail : Ruling.Watch;
        Assert.True(judgement.Ruling == truth, $"{judgement.Ruling} for a depth of {depth}: {string.Join(' ', judgement.Reasons.Select(r => r.Message))}");
    }

    private static string Describe(IEnumerable<Tone> tones) =>
        string.Join(", ", tones.Select(t => string.Create(CultureInfo.InvariantCulture, $"{t.FrequencyHz?.Value:0.###} Hz×{t.Amplitude.Value:0.####} (alias {t.AliasHz.Value:0.###}, {t.BandsPerHeight.Value:0.##} bands)")));
}
