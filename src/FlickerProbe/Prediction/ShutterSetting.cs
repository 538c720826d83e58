using System.Globalization;
using FlickerProbe.Camera;

namespace FlickerProbe.Prediction;

/// <summary>A shutter as a camera's menu offers it: a time, or an angle that becomes a time at a frame rate.</summary>
public sealed record ShutterSetting
{
    private ShutterSetting(double? seconds, double? degrees)
    {
        Seconds = seconds;
        Degrees = degrees;
    }

    /// <summary>The time in seconds; null for an angle.</summary>
    public double? Seconds { get; }

    /// <summary>The angle in degrees; null for a time.</summary>
    public double? Degrees { get; }

    /// <summary>A shutter time, seconds.</summary>
    public static ShutterSetting OfTime(double seconds) => new(seconds, null);

    /// <summary>A shutter angle, degrees.</summary>
    public static ShutterSetting OfAngle(double degrees) => new(null, degrees);

    /// <summary>The exposure at a frame rate; null when it does not fit into the frame.</summary>
    public ExposureTime? At(FrameRate rate)
    {
        double seconds = Seconds ?? Degrees!.Value / 360 * rate.PeriodSeconds;
        // "1/60" at 59.94 is the whole frame on real cameras: the same allowance as when a shutter is read.
        return seconds > rate.PeriodSeconds * 1.002 ? null : ExposureTime.FromSeconds(Math.Min(seconds, rate.PeriodSeconds));
    }

    /// <summary>The setting as the menu writes it: <c>1/250 s</c> or <c>172.8°</c>.</summary>
    public string Label => Degrees is { } degrees
        ? string.Create(CultureInfo.InvariantCulture, $"{degrees:0.#}°")
        : ExposureTime.FromSeconds(Seconds!.Value).ToShortText();
}
