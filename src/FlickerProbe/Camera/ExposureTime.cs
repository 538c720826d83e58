using System.Globalization;
using FlickerProbe.Units;

namespace FlickerProbe.Camera;

/// <summary>How long each row gathers light ("shutter"), in seconds, with how well that is known.</summary>
/// <remarks>Always positive; there is no default: an unknown exposure is a null. Equality is by value.
/// A shutter angle θ at frame rate F is the time θ / (360° F).</remarks>
public sealed record ExposureTime
{
    /// <summary>How far a camera's shutter may be from what its menu says: 0.5 % as one standard deviation.
    /// The project's own choice; no published source.</summary>
    public const double DefaultRelativeDeviation = 0.005;

    /// <summary>Exposures this close, as a share, are one setting: what menus round.</summary>
    private const double SameSetting = 0.005;

    private ExposureTime(double seconds, double relativeDeviation)
    {
        Seconds = seconds;
        RelativeDeviation = relativeDeviation;
    }

    /// <summary>The time in seconds.</summary>
    public double Seconds { get; }

    /// <summary>Standard deviation of the time, as a share of it.</summary>
    public double RelativeDeviation { get; }

    /// <summary>Whether the other is the same setting of a shutter.</summary>
    public bool IsSameSetting(ExposureTime other)
    {
        ArgumentNullException.ThrowIfNull(other);
        return Math.Abs(Seconds / other.Seconds - 1) <= SameSetting;
    }

    /// <summary>An exposure of so many seconds.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The time is not positive and finite.</exception>
    public static ExposureTime FromSeconds(double seconds, double relativeDeviation = DefaultRelativeDeviation)
    {
        if (!(seconds > 0) || !double.IsFinite(seconds)) throw new ArgumentOutOfRangeException(nameof(seconds), seconds, "An exposure time is positive.");
        return new ExposureTime(seconds, relativeDeviation);
    }

    /// <summary>Reads <c>1/250</c>, <c>4ms</c>, <c>0.004s</c> or, given the frame rate, <c>180deg</c>.</summary>
    /// <exception cref="InputException">The text is no exposure, or is longer than the frame.</exception>
    public static ExposureTime Parse(string text, FrameRate rate)
    {
        string trimmed = text.Trim();
        double? seconds = null;
        if (trimmed.EndsWith("deg", StringComparison.OrdinalIgnoreCase) || trimmed.EndsWith('°'))
        {
            double? degrees = Parsing.Number(trimmed.EndsWith('°') ? trimmed[..^1] : trimmed[..^3]);
            seconds = degrees / 360 * rate.PeriodSeconds;
        }
        else
        {
            seconds = Parsing.Seconds(trimmed);
        }

        if (seconds is not > 0)
            throw new InputException($"'{text}' is not a shutter: write an exposure time such as 1/250, 4ms or 0.004s, or an angle such as 180deg.");
        // A camera at "1/60" and 59.94 frames per second really exposes for the whole frame: allow that rounding.
        if (seconds > rate.PeriodSeconds * 1.002)
        {
            throw new InputException(string.Create(CultureInfo.InvariantCulture,
                $"A shutter of {trimmed} is longer than one frame at {rate.ToShortText()} frames per second ({rate.PeriodSeconds * 1000:0.##} ms): give the shutter the camera really used, or the right --frame-rate."));
        }
        return FromSeconds(Math.Min(seconds.Value, rate.PeriodSeconds));
    }

    /// <summary>The exposure as people say it: <c>1/250 s</c>.</summary>
    public string ToShortText()
    {
        double reciprocal = 1 / Seconds;
        return reciprocal >= 1.5
            ? string.Create(CultureInfo.InvariantCulture, $"1/{Math.Round(reciprocal, Math.Abs(reciprocal - Math.Round(reciprocal)) < 0.005 * reciprocal ? 0 : 1):0.#} s")
            : string.Create(CultureInfo.InvariantCulture, $"{Seconds:0.###} s");
    }
}
