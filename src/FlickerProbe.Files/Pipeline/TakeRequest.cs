using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Pipeline;

/// <summary>One take to be measured: its clip, how it was shot, how to read it. Unknown is null.</summary>
public sealed record TakeRequest
{
    /// <summary>The clip or still picture.</summary>
    public required string Clip { get; init; }

    /// <summary>Shutter it was shot with.</summary>
    public GivenShutter? Shutter { get; init; }

    /// <summary>Readout of the camera, as given.</summary>
    public ReadoutTime? Readout { get; init; }

    /// <summary>Name of a stored camera to take the readout from; the exact mode is looked up once the clip is known.</summary>
    public string? Camera { get; init; }

    /// <summary>Frame rate over the clip's own.</summary>
    public FrameRate? FrameRate { get; init; }

    /// <summary>Regions in displayed pixels; empty: found automatically.</summary>
    public IReadOnlyList<Region> Regions { get; init; } = [];

    /// <summary>Whether every area found automatically is measured, as a fixture of its own; else the one with most light.</summary>
    public bool EveryArea { get; init; }

    /// <summary>The same view with the fixture off.</summary>
    public string? Reference { get; init; }

    /// <summary>Transfer curve over the clip's own tag, built-in or from a table.</summary>
    public TransferFunction? Transfer { get; init; }

    /// <summary>Range over the clip's own tag.</summary>
    public SignalRange? Range { get; init; }

    /// <summary>Whether colours are measured one by one.</summary>
    public ColourMode Colour { get; init; }

    /// <summary>Whether a frame of the clip and the data behind the pictures are wanted for a report.</summary>
    public bool WithPictures { get; init; }

    /// <summary>What to call the clip in results; null: the path as given.</summary>
    public string? ClipName { get; init; }
}
