using System.Text;

namespace FlickerProbe.Files.Results;

/// <summary>Reads a whole file up to a size. The size a file states decides nothing: a device or a pipe states none and never ends.</summary>
internal static class BoundedFile
{
    /// <summary>The bytes; null when there are more than <paramref name="largest"/>.</summary>
    /// <exception cref="IOException">The file is missing or can't be read.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be read, or is a folder.</exception>
    public static byte[]? Read(string path, int largest)
    {
        using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete, 1, FileOptions.SequentialScan);
        using var content = new MemoryStream();
        byte[] buffer = new byte[1 << 16];
        int read;
        while ((read = file.Read(buffer)) > 0)
        {
            if (content.Length + read > largest) return null;
            content.Write(buffer, 0, read);
        }
        return content.ToArray();
    }

    /// <summary>As <see cref="Read"/>, as text: UTF-8 unless a mark at the beginning says otherwise.</summary>
    /// <inheritdoc cref="Read"/>
    public static string? ReadText(string path, int largest)
    {
        if (Read(path, largest) is not { } bytes) return null;
        using var reader = new StreamReader(new MemoryStream(bytes), Encoding.UTF8);
        return reader.ReadToEnd();
    }
}
