using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>Carries one component of a light through the exposure of a format, interval and all.</summary>
internal static class ToneThroughFormat
{
    /// <summary>The recorded tone: amplitude times signed exposure gain.</summary>
    /// <param name="frequencyHz">The component's frequency with interval, hertz.</param>
    /// <param name="amplitude">The component's amplitude in the light, with interval.</param>
    /// <param name="exposure">The format's exposure; null when unknown: then anything from nothing to the whole amplitude.</param>
    public static CameraTone Of(Estimate frequencyHz, Estimate amplitude, ExposureTime? exposure)
    {
        Estimate source = amplitude.Within(0, HiddenBound.LargestAmplitude);
        if (exposure is null || frequencyHz.Value <= 0) return new CameraTone(frequencyHz, source, exposure is null ? null : 0, 0);
        // Frequency and shutter err independently; their relative errors add in quadrature to that of f·T.
        double spread = double.Hypot(
            Estimate.Coverage95 * exposure.RelativeDeviation,
            frequencyHz.LongerSide / frequencyHz.Value);
        return new CameraTone(frequencyHz, source, frequencyHz.Value * exposure.Seconds, spread);
    }

    /// <summary>All the tones that a component may be in the light: one per frequency candidate.</summary>
    /// <param name="component">The component.</param>
    /// <param name="takes">The takes it was seen in: what a tone of another frequency must be in the light to have looked the same.</param>
    public static IReadOnlyList<(Estimate FrequencyHz, Estimate Amplitude)> Candidates(LightComponent component, IReadOnlyList<BlindSpot> takes)
    {
        // Nothing was seen of a hidden one: it may be absent.
        if (component.State == ComponentState.Hidden) return [(component.FrequencyHz, Estimate.AtMost(component.Amplitude.High))];
        if (component.State != ComponentState.Ambiguous || component.CandidatesHz.Count < 2) return [(component.FrequencyHz, component.Amplitude)];

        double halfWidth = component.CandidateHalfWidthHz ?? component.FrequencyHz.LongerSide;
        return [.. component.CandidatesHz.Select(candidate => (new Estimate(candidate, candidate - halfWidth, candidate + halfWidth), AmplitudeAt(candidate, component, takes)))];
    }

    /// <summary>The amplitude in the light that a candidate needs to look as the component did: on camera a·|G| is what was seen.</summary>
    private static Estimate AmplitudeAt(double candidateHz, LightComponent component, IReadOnlyList<BlindSpot> takes)
    {
        double first = component.FrequencyHz.Value;
        double low = double.PositiveInfinity, high = 0, value = 0;
        foreach (BlindSpot take in takes)
        {
            if (take.ExposureSeconds is not { } exposure) continue;
            double ratio = Abs(ExposureGain.At(first, exposure)) / Max(1e-6, Abs(ExposureGain.At(candidateHz, exposure)));
            Estimate needed = component.Amplitude.Scale(ratio);
            low = Min(low, needed.Low);
            value = Max(value, needed.Value);
            high = Max(high, needed.High);
        }
        if (double.IsInfinity(low)) return component.Amplitude;
        // The component's own interval spans all its candidates: none of them needs to reach beyond it.
        return new Estimate(value, Min(value, Max(low, component.Amplitude.Low)), Max(value, Min(high, component.Amplitude.High))).Within(0, HiddenBound.LargestAmplitude);
    }
}
