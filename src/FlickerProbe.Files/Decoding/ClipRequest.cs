using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>What to sample of a clip, and what the user says that the file does not.</summary>
/// <param name="Regions">Rectangles of the displayed picture, at least one; all are sampled in one pass.</param>
public sealed record ClipRequest(IReadOnlyList<Region> Regions)
{
    /// <summary>The user's frame rate; null for the clip's own.</summary>
    public FrameRate? UserRate { get; init; }

    /// <summary>Exposure time; null when unknown.</summary>
    public ExposureTime? Exposure { get; init; }

    /// <summary>Readout time over the coded height; null when unknown.</summary>
    public ReadoutTime? Readout { get; init; }

    /// <summary>The user's curve; null for the clip's own.</summary>
    public TransferFunction? Transfer { get; init; }

    /// <summary>A one-dimensional .cube table with the user's curve; null for none. Not together with <see cref="Transfer"/>.</summary>
    public string? CubePath { get; init; }

    /// <summary>The user's range; null for the clip's own.</summary>
    public SignalRange? Range { get; init; }

    /// <summary>Whether to sample linear red, green and blue beside luma.</summary>
    public bool Colour { get; init; }

    /// <summary>The same view with the fixture off; null for none.</summary>
    public string? ReferencePath { get; init; }

    /// <summary>Column strips at most; each is at least 8 pixels wide.</summary>
    public int Strips { get; init; } = 4;

    /// <summary>Whether to fetch a frame for the report.</summary>
    public bool WantStill { get; init; } = true;

    /// <summary>Which programs to start.</summary>
    public DecoderPrograms Programs { get; init; } = DecoderPrograms.Default;
}

/// <summary>How far the decoding is.</summary>
/// <param name="Frames">Frames read.</param>
/// <param name="ExpectedFrames">Frames the file announces; null when it announces none.</param>
public sealed record DecodeProgress(int Frames, int? ExpectedFrames);
