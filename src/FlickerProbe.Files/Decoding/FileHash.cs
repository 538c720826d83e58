using System.Security.Cryptography;

namespace FlickerProbe.Files.Decoding;

/// <summary>The identity of a file's content.</summary>
public static class FileHash
{
    /// <summary>SHA-256 of the whole file, lower-case hexadecimal; streamed.</summary>
    /// <exception cref="ClipException">The file can't be read.</exception>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public static string Sha256(string path, CancellationToken cancel = default)
    {
        try
        {
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete, 1, FileOptions.SequentialScan);
            using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
            byte[] buffer = new byte[1 << 17];
            int read;
            // A device states no length and never ends; a file that is still being copied outgrows the one it stated.
            long left = new FileInfo(path).Length;
            while ((read = file.Read(buffer)) > 0)
            {
                cancel.ThrowIfCancellationRequested();
                if ((left -= read) < 0) throw new ClipException($"'{path}' is no file of a fixed length, or still grows: wait until the copying has ended and name a clip on a disk.");
                hash.AppendData(buffer, 0, read);
            }
            return Convert.ToHexStringLower(hash.GetHashAndReset());
        }
        catch (Exception problem) when (problem is UnauthorizedAccessException or IOException)
        {
            throw new ClipException($"'{path}' can't be read to its end: see whether its permissions or its disk are in order.", problem);
        }
    }
}
