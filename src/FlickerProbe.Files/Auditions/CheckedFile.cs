using System.Security.Cryptography;
using System.Text;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Auditions;

/// <summary>A file that opens with the hash of the rest, so that half of one or a damaged one is known as such.</summary>
internal static class CheckedFile
{
    private const int HeadLength = 65; // 64 hexadecimal digits and a line break

    /// <summary>The content; null when the file is not there, can't be read, or is not what was written.</summary>
    internal static byte[]? Read(string path)
    {
        try
        {
            if (!File.Exists(path)) return null;
            byte[] bytes = File.ReadAllBytes(path);
            if (bytes.Length <= HeadLength || bytes[HeadLength - 1] != '\n') return null;
            string stated = Encoding.ASCII.GetString(bytes, 0, HeadLength - 1);
            return stated == Convert.ToHexStringLower(SHA256.HashData(bytes.AsSpan(HeadLength))) ? bytes[HeadLength..] : null;
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <summary>Writes the content whole or not at all; what can't be written is silently not kept.</summary>
    internal static void Write(string path, byte[] content)
    {
        try
        {
            AtomicFile.Write(path, [.. Encoding.ASCII.GetBytes(Convert.ToHexStringLower(SHA256.HashData(content))), (byte)'\n', .. content]);
        }
        catch (InputException)
        {
            // A folder that can't be written to, a disk that is full: the next run works it out again.
        }
    }
}
