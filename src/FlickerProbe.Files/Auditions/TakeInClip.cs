using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;

namespace FlickerProbe.Files.Auditions;

/// <summary>A clip that was found in a folder.</summary>
/// <param name="Path">Full path.</param>
/// <param name="Name">As the audition file would write it: relative to its folder, with forward slashes.</param>
/// <param name="RecordedAt">When the camera says it was recorded; null when it does not say.</param>
/// <param name="FileTime">When the file was last written.</param>
/// <param name="Rate">Frame rate; null when the clip does not say.</param>
/// <param name="Seconds">Length, seconds; null when unknown.</param>
public sealed record TakeInClip(string Path, string Name, DateTimeOffset? RecordedAt, DateTimeOffset FileTime, FrameRate? Rate, double? Seconds);

/// <summary>Lists the clips of a folder.</summary>
public static class TakeInFolder
{
    private static readonly HashSet<string> Endings = new(StringComparer.OrdinalIgnoreCase)
    {
        ".mp4", ".mov", ".mxf", ".mkv", ".avi", ".m4v", ".mts", ".m2ts", ".ts", ".webm", ".wmv", ".3gp", ".braw", ".nut",
    };

    /// <summary>All clips in a folder and those below it, in order of their names; what can't be read is told and left out.</summary>
    /// <param name="folder">The folder.</param>
    /// <param name="auditionFolder">Folder that names are relative to.</param>
    /// <param name="unreadable">Told why a file was left out.</param>
    /// <param name="cancellation">Ends the work and throws.</param>
    /// <exception cref="Units.InputException">The folder is not there.</exception>
    /// <exception cref="ProgramMissingException">ffprobe is missing.</exception>
    public static IReadOnlyList<TakeInClip> List(string folder, string auditionFolder, Action<string> unreadable, CancellationToken cancellation)
    {
        if (!Directory.Exists(folder)) throw new Units.InputException($"The folder '{folder}' is not there: give the folder the clips were copied to.");
        var options = new EnumerationOptions { RecurseSubdirectories = true, MaxRecursionDepth = 4, IgnoreInaccessible = true, AttributesToSkip = FileAttributes.Hidden | FileAttributes.System };
        var clips = new List<TakeInClip>();
        foreach (string path in Directory.EnumerateFiles(folder, "*", options).Where(p => Endings.Contains(Path.GetExtension(p))).Order(StringComparer.Ordinal))
        {
            cancellation.ThrowIfCancellationRequested();
            try
            {
                ClipInfo info = ClipProbe.Probe(path, null, cancellation);
                string name = Path.GetRelativePath(auditionFolder, path).Replace('\\', '/');
                clips.Add(new TakeInClip(path, name, info.RecordedAt, File.GetLastWriteTimeUtc(path), info.Rate, info.Rate is null || info.Packets == 0 ? null : info.Packets * info.Rate.PeriodSeconds));
            }
            catch (ClipException problem)
            {
                unreadable(problem.Message);
            }
        }
        return clips;
    }
}
