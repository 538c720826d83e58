using System.Globalization;
using System.Text;
using FlickerProbe.Camera;
using FlickerProbe.Light;

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

    /// <summary>The beats of a light's components, every candidate of an ambiguous one, at the standard rates.</summary>
    public static IReadOnlyList<Beat> Of(LightEstimate light) => Of(
        light.Components.Where(c => c.State != ComponentState.Hidden)
            .SelectMany(c => c.State == ComponentState.Ambiguous && c.CandidatesHz.Count > 0 ? c.CandidatesHz : [c.FrequencyHz.Value]).Distinct(),
        StandardSettings.Rates);

    /// <summary>The table as comma-separated values with a heading line; point as decimal mark.</summary>
    public static string ToCsv(IReadOnlyList<Beat> beats)
    {
        StringBuilder text = new("frame_rate,light_hz,beat_hz,repeats_every_s\n");
        foreach (Beat beat in beats)
            text.Append(CultureInfo.InvariantCulture, $"{beat.Rate},{beat.FrequencyHz:0.######},{beat.AliasHz:0.######},{beat.PeriodSeconds:0.###}\n");
        return text.ToString();
    }
}
