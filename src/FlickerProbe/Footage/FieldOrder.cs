namespace FlickerProbe.Footage;

/// <summary>Whether a frame is one moment or two fields taken half a frame apart.</summary>
public enum FieldOrder
{
    /// <summary>One moment a frame (or the file does not say).</summary>
    Progressive,

    /// <summary>Two fields; even rows (0, 2, …) first.</summary>
    TopFieldFirst,

    /// <summary>Two fields; odd rows (1, 3, …) first.</summary>
    BottomFieldFirst,
}
