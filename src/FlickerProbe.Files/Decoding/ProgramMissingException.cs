namespace FlickerProbe.Files.Decoding;

/// <summary>A program that FlickerProbe needs is not installed; the message says how to get it.</summary>
public sealed class ProgramMissingException : Exception
{
    /// <summary>Creates the problem for a program that could not be started.</summary>
    public ProgramMissingException(string program, Exception cause)
        : base($"The program '{program}' could not be started: install ffmpeg 5.1 or newer (Debian and Ubuntu: apt install ffmpeg; macOS: brew install ffmpeg; Windows: winget install ffmpeg) and see that it is on the PATH.", cause)
    {
        Program = program;
    }

    /// <summary>The program that is missing.</summary>
    public string Program { get; }
}
