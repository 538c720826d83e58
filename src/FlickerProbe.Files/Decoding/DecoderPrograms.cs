namespace FlickerProbe.Files.Decoding;

/// <summary>Which decoder programs to start and how long to wait for a sign of life.</summary>
public sealed record DecoderPrograms
{
    /// <summary>ffmpeg and ffprobe from the PATH, two minutes of patience.</summary>
    public static DecoderPrograms Default { get; } = new();

    /// <summary>The decoder: a name on the PATH or a path.</summary>
    public string Ffmpeg { get; init; } = "ffmpeg";

    /// <summary>The prober: a name on the PATH or a path.</summary>
    public string Ffprobe { get; init; } = "ffprobe";

    /// <summary>A child that says nothing for so long while it is being waited for is ended.</summary>
    public TimeSpan Patience { get; init; } = TimeSpan.FromMinutes(2);
}
