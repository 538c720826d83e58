using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Prediction;

/// <summary>Whether the picture itself may flash at a rate that harms photosensitive viewers.</summary>
/// <remarks>
/// General flash of the Web Content Accessibility Guidelines 2.x (w3c/wcag, "general flash and red flash thresholds"): a pair of opposing
/// changes of relative luminance of 10 % of the maximum or more where the darker image is under 0.80; hazard: more than three in a second over
/// more than a quarter of a 10° field. The brightness of the finished picture is unknown here, so the worst one counts: the flash is as large as
/// possible while its dark phase stays just under 0.80.
/// </remarks>
public static class FlashHazard
{
    /// <summary>More than this many flashes in a second are a hazard.</summary>
    public const double FlashesPerSecond = 3;

    /// <summary>Smallest modulation depth that can be a general flash at any brightness: (bright − dark) = 0.1 with dark = 0.8 is 0.1 / 1.7.</summary>
    public const double SmallestDepth = 0.1 / 1.7;

    /// <summary>The caution for one forecast; null when there is no need.</summary>
    /// <param name="forecast">The forecast.</param>
    /// <param name="showing">The tones behind it, strongest first.</param>
    internal static Finding? Of(FormatForecast forecast, IReadOnlyList<CameraTone> showing)
    {
        if (forecast.Format.Rate.IsStandIn) return null; // a still tells no beat
        (double Beat, double Magnitude)[] flashing = [.. showing
            .Select(t => (Beat: Math.Abs(AliasFrequency.Of(t.FrequencyHz.Value, forecast.Format.Rate)), t.Magnitude))
            .Where(t => t.Beat > FlashesPerSecond && t.Beat <= WholePicturePulsing.FastestHz)];
        if (flashing.Length == 0) return null;

        // Up to two bands the bright half of one covers a quarter of the picture; with more, only the mean of the picture counts.
        double depth = forecast.Bands is null or <= 2
            ? Math.Min(flashing.Sum(t => t.Magnitude), forecast.ModulationDepth.Value)
            : forecast.PulsingDepth.Value;
        if (depth < SmallestDepth) return null;
        return new Finding(FindingCodes.ViewerFlashHazard, string.Create(CultureInfo.InvariantCulture,
            $"Large parts of the picture may flash {flashing[0].Beat:0.#} times a second by {Percent.Of(depth)} at {forecast.Format.ToShortText()}, which can harm photosensitive viewers: do not show such footage."));
    }
}
