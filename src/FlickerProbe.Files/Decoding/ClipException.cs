namespace FlickerProbe.Files.Decoding;

/// <summary>A clip can't be read or holds nothing measurable; the message is one plain sentence that names the file and the way out.</summary>
public sealed class ClipException : Exception
{
    /// <summary>Creates the problem with its sentence.</summary>
    public ClipException(string message) : base(message) { }

    /// <summary>Creates the problem with its sentence and the cause.</summary>
    public ClipException(string message, Exception cause) : base(message, cause) { }
}
