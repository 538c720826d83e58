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
    public static Finding? Of(FormatForecast forecast)
    {
        // Up to two bands the bright half of one covers a quarter of the picture; with more, only the mean of the picture counts.
        bool isLarge = forecast.Appearance != Appearance.Nothing && (forecast.Bands is null or <= 2);
        double depth = isLarge ? Math.Max(forecast.ModulationDepth.Value, forecast.PulsingDepth.Value) : forecast.PulsingDepth.Value;
        double[] beats = [.. forecast.BeatHz.Where(b => b > FlashesPerSecond && b <= WholePicturePulsing.FastestHz)];
        if (beats.Length == 0 || depth < SmallestDepth) return null;
        return new Finding(FindingCodes.ViewerFlashHazard, string.Create(CultureInfo.InvariantCulture,
            $"Large parts of the picture may flash {beats[0]:0.#} times a second by {Percent.Of(depth)} at {forecast.Format.ToShortText()}, which can harm photosensitive viewers: do not show such footage."));
    }
}
