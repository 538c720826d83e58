using FlickerProbe.Camera;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Pipeline;

/// <summary>A shutter as somebody wrote it. As an angle it becomes a time only once the clip's frame rate is known.</summary>
public sealed record GivenShutter
{
    private GivenShutter(string text) => Text = text;

    /// <summary>The text as given.</summary>
    public string Text { get; }

    /// <summary>Reads <c>1/250</c>, <c>4ms</c>, <c>0.004s</c> or <c>180deg</c>.</summary>
    /// <exception cref="InputException">The text is no shutter.</exception>
    public static GivenShutter Parse(string text)
    {
        var setting = new GivenShutter(text.Trim());
        if (setting.IsAngle && Parsing.Number(setting.Text.TrimEnd('°', 'd', 'e', 'g', 'D', 'E', 'G')) > 360)
            throw new InputException($"A shutter of {setting.Text} is longer than the frame: a shutter angle lies between 0 and 360 degrees.");
        // Any time up to a second fits one frame a second; what the clip's own rate allows is checked once the clip is known.
        ExposureTime.Parse(setting.Text, FrameRate.FromRational(1, 1));
        return setting;
    }

    /// <summary>The exposure time at a frame rate; a still picture has none.</summary>
    /// <exception cref="InputException">It is longer than the frame, or an angle of a still picture.</exception>
    public ExposureTime At(FrameRate? rate)
    {
        if (rate is null && IsAngle)
            throw new InputException($"A shutter of {Text} is a share of the frame, but a still picture has no frame rate: give the exposure as a time, such as 1/250.");
        return ExposureTime.Parse(Text, rate ?? FrameRate.FromRational(1, 1));
    }

    private bool IsAngle => Text.EndsWith("deg", StringComparison.OrdinalIgnoreCase) || Text.EndsWith('°');
}
