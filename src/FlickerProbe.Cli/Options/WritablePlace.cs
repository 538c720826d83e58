using FlickerProbe.Units;

namespace FlickerProbe.Cli.Options;

/// <summary>Finds out before the long work whether its result will have a place to go.</summary>
internal static class WritablePlace
{
    /// <summary>Checks that a file can be written: its folder can be made and written to, and no input would be lost.</summary>
    /// <exception cref="InputException">It can't.</exception>
    public static void CheckFile(string path, string option, IEnumerable<string> inputs)
    {
        string full = Full(path, option);
        if (Directory.Exists(full) || Path.EndsInDirectorySeparator(path))
            throw new InputException($"{option} names the folder '{path}': give the name of a file.");
        if (inputs.Any(input => Path.GetFullPath(input) == full))
            throw new InputException($"{option} would write over '{path}', which is to be read: give another name.");
        CheckFolder(Path.GetDirectoryName(full) ?? full, option);
    }

    /// <summary>Checks that a folder is there or can be made, and can be written to. Nothing is left behind.</summary>
    /// <exception cref="InputException">It can't.</exception>
    public static void CheckFolder(string path, string option)
    {
        string? existing = Full(path, option);
        if (File.Exists(existing)) throw new InputException($"{option} wants a folder, but '{path}' is a file: give another name.");
        while (existing is not null && !Directory.Exists(existing))
        {
            existing = Path.GetDirectoryName(existing);
            if (File.Exists(existing)) throw new InputException($"{option} can't write to '{path}', for '{existing}' is a file: choose another place.");
        }
        try
        {
            string trial = Path.Combine(existing ?? ".", ".flickerprobe-" + Guid.NewGuid().ToString("N"));
            using (new FileStream(trial, FileMode.CreateNew, FileAccess.Write, FileShare.None, 1, FileOptions.DeleteOnClose))
            {
            }
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            throw new InputException($"{option} can't write to '{path}' ({problem.Message.TrimEnd('.')}): choose a place you may write to.", problem);
        }
    }

    private static string Full(string path, string option)
    {
        if (string.IsNullOrWhiteSpace(path) || path.Contains('\0', StringComparison.Ordinal))
            throw new InputException($"{option} needs the name of a place to write to.");
        return Path.GetFullPath(path);
    }
}
