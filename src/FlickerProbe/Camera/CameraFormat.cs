using FlickerProbe.Units;

namespace FlickerProbe.Camera;

/// <summary>A way a camera is set: frame rate, exposure and readout. The thing a verdict is for.</summary>
/// <param name="Rate">Frames per second, exact.</param>
/// <param name="Exposure">Exposure time; null when unknown.</param>
/// <param name="Readout">Readout time; null when unknown.</param>
/// <param name="CameraName">The venue's name for the camera; null when it has none.</param>
public sealed record CameraFormat(FrameRate Rate, ExposureTime? Exposure, ReadoutTime? Readout, string? CameraName = null)
{
    /// <summary>Reads <c>25@1/50</c>, <c>59.94@180deg</c>, <c>25@1/50@16ms</c> or <c>30000/1001@0.004s@global</c>.</summary>
    /// <exception cref="InputException">A part can't be read.</exception>
    public static CameraFormat Parse(string text)
    {
        string[] parts = text.Split('@');
        if (parts.Length is < 2 or > 3)
            throw new InputException($"'{text}' is not a format: write frame rate @ shutter, with the readout after it if known, such as 25@1/50 or 25@1/50@16ms.");
        FrameRate rate = FrameRate.Parse(parts[0]);
        return new CameraFormat(rate, ExposureTime.Parse(parts[1], rate), parts.Length == 3 ? ReadoutTime.Parse(parts[2]) : null);
    }

    /// <summary>The format as people say it: <c>29.97 fps at 1/60 s</c>.</summary>
    public string ToShortText() =>
        (CameraName is null ? "" : CameraName + ", ") + (Rate.IsStandIn ? "a still" : Rate.ToShortText() + " fps") + (Exposure is null ? ", shutter unknown" : " at " + Exposure.ToShortText());
}
