using FlickerProbe.Camera;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Pipeline;

/// <summary>A shutter as somebody wrote it. As an angle it becomes a time only once the clip's frame rate is known.</summary>
public sealed record ShutterSetting
{
    private ShutterSetting(string text) => Text = text;

    /// <summary>The text as given.</summary>
    public string Text { get; }

    /// <summary>Reads <c>1/250</c>, <c>4ms</c>, <c>0.004s</c> or <c>180deg</c>.</summary>
    /// <exception cref="InputException">The text is no shutter.</exception>
    public static ShutterSetting Parse(string text)
    {
        string trimmed = text.Trim();
        if ((trimmed.EndsWith("deg", StringComparison.OrdinalIgnoreCase) || trimmed.EndsWith('°')) && Parsing.Number(trimmed.TrimEnd('°', 'd', 'e', 'g', 'D', 'E', 'G')) > 360)
            throw new InputException($"A shutter of {trimmed} is longer than the frame: a shutter angle lies between 0 and 360 degrees.");
        // Any time up to a second fits one frame a second; what the clip's own rate allows is checked once the clip is known.
        ExposureTime.Parse(trimmed, FrameRate.FromRational(1, 1));
        return new ShutterSetting(trimmed);
    }

    /// <summary>The exposure time at a frame rate.</summary>
    /// <exception cref="InputException">It is longer than the frame.</exception>
    public ExposureTime At(FrameRate rate) => ExposureTime.Parse(Text, rate);
}
