using FlickerProbe.Files.Results;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Pipeline;

/// <summary>One region of one clip, measured.</summary>
/// <param name="ClipName">What results call the clip.</param>
/// <param name="Facts">What the file says of itself.</param>
/// <param name="DisplayedWidth">Width of the picture as displayed, pixels.</param>
/// <param name="DisplayedHeight">Height of the picture as displayed, pixels.</param>
/// <param name="Sha256">Hash of the whole file.</param>
/// <param name="Region">The region, in displayed pixels.</param>
/// <param name="Measurement">Luma, or luminance of an RGB clip; the file's own doubts are among its findings.</param>
/// <param name="Channels">Red, green and blue one by one, those that are lit; empty where they were not measured or the recording holds no colour.</param>
/// <param name="StillPng">A frame as displayed; null when not asked for.</param>
public sealed record MeasuredTake(
    string ClipName,
    ClipFacts Facts,
    int DisplayedWidth,
    int DisplayedHeight,
    string Sha256,
    Region Region,
    TakeMeasurement Measurement,
    IReadOnlyList<MeasuredChannel> Channels,
    byte[]? StillPng)
{
    /// <summary>Further pictures of the take, such as its modulation maps; empty when none were asked for.</summary>
    public IReadOnlyList<Results.CaptionedPicture> Extras { get; init; } = [];
}

/// <summary>One colour channel of a take, measured.</summary>
/// <param name="Name">red, green or blue.</param>
/// <param name="Measurement">What it says about its light.</param>
public sealed record MeasuredChannel(string Name, TakeMeasurement Measurement);
