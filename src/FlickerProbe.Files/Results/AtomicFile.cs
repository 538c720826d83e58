using System.Text;

namespace FlickerProbe.Files.Results;

/// <summary>Writes files so that a reader sees the old one or the whole new one, never half of it.</summary>
/// <remarks>The bytes go to a new file beside the target, which then takes its name: renaming inside one folder is atomic on common file systems.</remarks>
public static class AtomicFile
{
    /// <summary>How the files hold text; what is no text becomes a replacement character.</summary>
    internal static UTF8Encoding Utf8WithoutMark { get; } = new(encoderShouldEmitUTF8Identifier: false);

    /// <summary>Writes text as UTF-8 without a byte order mark.</summary>
    /// <exception cref="Units.InputException">The file can't be written.</exception>
    public static void Write(string path, string text) => WriteAll([(path, Content(text))]);

    /// <summary>Writes bytes; missing folders are made.</summary>
    /// <exception cref="Units.InputException">The file can't be written.</exception>
    public static void Write(string path, byte[] bytes) => WriteAll([(path, Content(bytes))]);

    /// <summary>Text as the content of a file: UTF-8 without a byte order mark.</summary>
    public static Action<Stream> Content(string text) => Content(Utf8WithoutMark.GetBytes(text));

    /// <summary>Bytes as the content of a file.</summary>
    public static Action<Stream> Content(byte[] bytes) => stream => stream.Write(bytes);

    /// <summary>Writes files that belong together: all of them are on the disk before the first takes its name, so a full disk or a fault leaves
    /// the old ones as they were. Missing folders are made.</summary>
    /// <exception cref="Units.InputException">A file can't be written; none was changed, unless the renaming itself failed.</exception>
    public static void WriteAll(IReadOnlyList<(string Path, Action<Stream> Content)> files)
    {
        List<(string Beside, string Full)> written = [];
        string path = "";
        try
        {
            foreach ((string name, Action<Stream> content) in files)
            {
                path = name;
                string full = Path.GetFullPath(path);
                string folder = Path.GetDirectoryName(full) ?? throw new Units.InputException($"'{path}' can't be written: it names no file in a folder; give a file name.");
                string beside = Path.Combine(folder, "." + Guid.NewGuid().ToString("N") + ".part");
                Directory.CreateDirectory(folder);
                written.Add((beside, full));
                using FileStream stream = new(beside, FileMode.CreateNew, FileAccess.Write, FileShare.None);
                content(stream);
            }
            foreach ((string beside, string full) in written)
            {
                path = full;
                File.Move(beside, full, overwrite: true);
            }
        }
        catch (Exception problem)
        {
            foreach ((string beside, string _) in written) TryDelete(beside);
            // Beyond a limit on file sizes the runtime blames its argument.
            if (problem is IOException or UnauthorizedAccessException or ArgumentOutOfRangeException)
                throw new Units.InputException($"'{path}' can't be written ({problem.Message.TrimEnd('.')}): choose a place you may write to with room left.", problem);
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
