namespace FlickerProbe.Files.Pipeline;

/// <summary>Whether red, green and blue are measured one by one. Each emitter colour of a fixture has its own driver, and luma can hide a flickering blue.</summary>
public enum ColourMode
{
    /// <summary>When the light in the region is coloured.</summary>
    Auto,

    /// <summary>Always.</summary>
    On,

    /// <summary>Never.</summary>
    Off,
}
