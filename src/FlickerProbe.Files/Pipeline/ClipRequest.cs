using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Pipeline;

/// <summary>One clip to be measured: what it is, how it was shot, how to read it. Unknown is null.</summary>
public sealed record ClipRequest
{
    /// <summary>The clip or still picture.</summary>
    public required string Clip { get; init; }

    /// <summary>Shutter it was shot with.</summary>
    public ShutterSetting? Shutter { get; init; }

    /// <summary>Readout of the camera, as given.</summary>
    public ReadoutTime? Readout { get; init; }

    /// <summary>Name of a stored camera to take the readout from; the exact mode is looked up once the clip is known.</summary>
    public string? Camera { get; init; }

    /// <summary>Frame rate over the clip's own.</summary>
    public FrameRate? FrameRate { get; init; }

    /// <summary>Regions in displayed pixels; empty: found automatically.</summary>
    public IReadOnlyList<Region> Regions { get; init; } = [];

    /// <summary>The same view with the fixture off.</summary>
    public string? Reference { get; init; }

    /// <summary>Transfer curve over the clip's own tag.</summary>
    public TransferFunction? Transfer { get; init; }

    /// <summary>Range over the clip's own tag.</summary>
    public SignalRange? Range { get; init; }

    /// <summary>Whether colours are measured one by one.</summary>
    public ColourMode Colour { get; init; }
}
