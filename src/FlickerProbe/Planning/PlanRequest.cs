using FlickerProbe.Camera;
using FlickerProbe.Units;

namespace FlickerProbe.Planning;

/// <summary>What is known before the evening: the mains, the cameras, the formats, the candidates.</summary>
/// <param name="MainsHz">Mains frequency, hertz; null when unknown: then 50 and 60 Hz are both thought of.</param>
/// <param name="Cameras">Cameras at hand, the preferred one first; at least one.</param>
/// <param name="Formats">What the venue shoots; empty when not decided.</param>
/// <param name="Fixtures">Names of the candidates; at least one.</param>
/// <param name="Levels">Dimmer levels in use, 0…1; empty: full only.</param>
/// <param name="OtherLightOff">Whether all other light can be put out; if not, reference takes are planned.</param>
public sealed record PlanRequest(
    double? MainsHz,
    IReadOnlyList<PlanCamera> Cameras,
    IReadOnlyList<CameraFormat> Formats,
    IReadOnlyList<string> Fixtures,
    IReadOnlyList<double> Levels,
    bool OtherLightOff = true)
{
    /// <summary>Title for the audition file; null for none.</summary>
    public string? Title { get; init; }
}

/// <summary>A camera at hand and what it offers.</summary>
/// <param name="Name">The venue's name for it.</param>
/// <param name="Rates">Frame rates it offers; at least one.</param>
/// <param name="Shutters">Shutters it offers, as people write them (<c>1/250</c>, <c>180deg</c>); empty when it sets the shutter by itself.</param>
/// <param name="Readout">Readout time; null when unknown.</param>
public sealed record PlanCamera(string Name, IReadOnlyList<FrameRate> Rates, IReadOnlyList<string> Shutters, ReadoutTime? Readout)
{
    /// <summary>Every pair of rate and shutter that fits into a frame; one with an unknown exposure for each rate when there are no shutters.</summary>
    /// <exception cref="InputException">A shutter can't be read.</exception>
    public IReadOnlyList<CameraSetting> Settings()
    {
        var settings = new List<CameraSetting>();
        foreach (FrameRate rate in Rates)
        {
            if (Shutters.Count == 0) settings.Add(new CameraSetting(rate, null, null));
            foreach (string shutter in Shutters)
            {
                ExposureTime.Parse(shutter, FrameRate.FromRational(1, 1)); // a word that is no shutter at all is the user's slip
                if (FitsInFrame(shutter, rate) is { } exposure) settings.Add(new CameraSetting(rate, shutter, exposure));
            }
        }
        return settings;
    }

    private static ExposureTime? FitsInFrame(string shutter, FrameRate rate)
    {
        try
        {
            return ExposureTime.Parse(shutter, rate);
        }
        catch (InputException)
        {
            return null; // longer than a frame at this rate: the camera can't be set so
        }
    }
}

/// <summary>One way a camera can be set for a take.</summary>
/// <param name="Rate">Frames per second.</param>
/// <param name="Shutter">Shutter as people write it; null when the camera sets it by itself.</param>
/// <param name="Exposure">The same as a time; null when unknown.</param>
public sealed record CameraSetting(FrameRate Rate, string? Shutter, ExposureTime? Exposure)
{
    /// <summary>The setting as people say it: <c>29.97 fps, shutter 1/250</c>.</summary>
    public string ToShortText() => Rate.ToShortText() + " fps, shutter " + (Shutter ?? "as the camera sets it");
}
