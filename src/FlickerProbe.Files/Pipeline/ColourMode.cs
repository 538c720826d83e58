namespace FlickerProbe.Files.Pipeline;

/// <summary>Whether red, green and blue are measured one by one. Each emitter colour of a fixture has its own driver, and luma can hide a flickering blue.</summary>
public enum ColourMode
{
    /// <summary>Where the recording holds colours and is not too long for it.</summary>
    Auto,

    /// <summary>Always.</summary>
    On,

    /// <summary>Never: for light whose colours are known to share one driver.</summary>
    Off,
}
