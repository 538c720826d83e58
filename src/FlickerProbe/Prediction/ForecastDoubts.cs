using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Prediction;

/// <summary>Says in words what a forecast can't tell. Only doubts about the light as a whole forbid a pass; the numbers of the others are in the upper ends.</summary>
internal static class ForecastDoubts
{
    /// <summary>The doubts of one forecast, weightiest first.</summary>
    public static IReadOnlyList<Finding> Of(FormatForecast forecast, LightEstimate light, IReadOnlyList<CameraTone> showing)
    {
        List<Finding> doubts = [.. light.Findings];
        HiddenRemainder hidden = forecast.Hidden;
        string format = forecast.Format.ToShortText();
        bool exposureIsUnknown = forecast.Format.Exposure is null;
        if (light.Blind.Count == 0)
        {
            doubts.Add(new Finding(FindingCodes.MissingTake, "No take says what this light could not have shown, so nothing bounds it: measure a take.") { ForbidsPass = true });
        }
        else if (exposureIsUnknown || light.Blind.All(b => b.ExposureSeconds is null))
        {
            doubts.Add(new Finding(FindingCodes.ShutterUnknown, hidden.Depth >= 1
                ? $"The shutter {(exposureIsUnknown ? "of this format" : "of the takes")} is unknown, so nothing limits what {format} may show: give the shutter."
                : "The shutter is unknown: the answer holds for this camera at that very setting only; give the shutter to learn about others."));
        }
        else if (hidden.Depth >= 0.002 && hidden.Depth > 1.5 * light.Blind.Min(b => b.DetectionLimit))
        {
            string shutters = string.Join(" and ", light.Blind.Where(b => b.ExposureSeconds is not null).Select(b => b.ExposureSeconds!.Value).Distinct()
                .Select(s => ExposureTime.FromSeconds(s).ToShortText()));
            doubts.Add(hidden.IsLocked
                ? new Finding(FindingCodes.LockedBands, string.Create(Invariant,
                    $"A light near {hidden.WorstFrequencyHz:0.#} Hz would have stood still in the takes and could show up to {Percent.Of(hidden.Depth)} at {format}: shoot one more take at another frame rate."))
                : new Finding(FindingCodes.HiddenAtShutter, string.Create(Invariant,
                    $"A light near {hidden.WorstFrequencyHz:0.#} Hz would have been all but invisible at {shutters} and could show up to {Percent.Of(hidden.Depth)} at {format}: shoot a take at {forecast.Format.Exposure!.ToShortText()}.")));
        }

        int ambiguous = light.Components.Count(c => c.State == ComponentState.Ambiguous);
        if (ambiguous > 0)
            doubts.Add(new Finding(FindingCodes.AmbiguousFrequency, string.Create(Invariant,
                $"{(ambiguous == 1 ? "One tone fits" : $"{ambiguous} tones fit")} several frequencies ({Candidates(light)}); the worst of them counts.")));
        if (forecast.Format.Readout is null && forecast.Appearance != Appearance.Nothing)
            doubts.Add(new Finding(FindingCodes.ReadoutUnknown, "The camera's readout time is unknown: the number of bands can't be given, and the pulsing of the whole picture is the worst that any readout allows."));
        if (FlashHazard.Of(forecast, showing) is { } hazard) doubts.Add(hazard);
        return doubts;
    }

    private static readonly System.Globalization.CultureInfo Invariant = System.Globalization.CultureInfo.InvariantCulture;

    private static string Candidates(LightEstimate light)
    {
        IReadOnlyList<double> all = light.Components.First(c => c.State == ComponentState.Ambiguous).CandidatesHz;
        return string.Join(", ", all.Take(4).Select(f => f.ToString("0.#", Invariant))) + (all.Count > 4 ? ", …" : "") + " Hz";
    }
}
