using FlickerProbe.Camera;

namespace FlickerProbe.Prediction;

/// <summary>One beat: a frequency of the light against one frame rate.</summary>
/// <param name="Rate">Frame rate.</param>
/// <param name="FrequencyHz">Frequency of the light, hertz.</param>
/// <param name="AliasHz">What is left after sampling, hertz; negative: the pattern runs backwards; 0: it stands still.</param>
public sealed record Beat(FrameRate Rate, double FrequencyHz, double AliasHz)
{
    /// <summary>Seconds until the pattern repeats; null when it stands still.</summary>
    public double? PeriodSeconds => Math.Abs(AliasHz) < 1e-6 ? null : 1 / Math.Abs(AliasHz);
}

/// <summary>A light's tones against the frame rates of the trade.</summary>
public static class BeatTable
{
    /// <summary>One beat for each rate and frequency, rate by rate.</summary>
    public static IReadOnlyList<Beat> Of(IEnumerable<double> frequenciesHz, IEnumerable<FrameRate> rates)
    {
        double[] frequencies = [.. frequenciesHz];
        return [.. rates.SelectMany(rate => frequencies.Select(f => new Beat(rate, f, AliasFrequency.Of(f, rate))))];
    }
}
