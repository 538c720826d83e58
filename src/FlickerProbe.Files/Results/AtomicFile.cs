using System.Text;

namespace FlickerProbe.Files.Results;

/// <summary>Writes files so that a reader sees the old one or the whole new one, never half of it.</summary>
/// <remarks>The bytes go to a new file beside the target, which then takes its name: renaming inside one folder is atomic on common file systems.</remarks>
public static class AtomicFile
{
    private static readonly UTF8Encoding Utf8WithoutMark = new(encoderShouldEmitUTF8Identifier: false);

    /// <summary>Writes text as UTF-8 without a byte order mark.</summary>
    /// <exception cref="Units.InputException">The file can't be written.</exception>
    public static void Write(string path, string text) => Write(path, Utf8WithoutMark.GetBytes(text));

    /// <summary>Writes bytes; missing folders are made.</summary>
    /// <exception cref="Units.InputException">The file can't be written.</exception>
    public static void Write(string path, ReadOnlySpan<byte> bytes)
    {
        string full = Path.GetFullPath(path);
        string folder = Path.GetDirectoryName(full) ?? throw new Units.InputException($"'{path}' can't be written: it names no file in a folder; give a file name.");
        string beside = Path.Combine(folder, "." + Guid.NewGuid().ToString("N") + ".part");
        try
        {
            Directory.CreateDirectory(folder);
            using (FileStream stream = new(beside, FileMode.CreateNew, FileAccess.Write, FileShare.None))
                stream.Write(bytes);
            File.Move(beside, full, overwrite: true);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            TryDelete(beside);
            throw new Units.InputException($"'{path}' can't be written ({problem.Message.TrimEnd('.')}): choose a place you may write to with room left.", problem);
        }
        catch
        {
            TryDelete(beside);
            throw;
        }
    }

    private static void TryDelete(string path)
    {
        try
        {
            File.Delete(path);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            // The first problem is the one to report.
        }
    }
}
