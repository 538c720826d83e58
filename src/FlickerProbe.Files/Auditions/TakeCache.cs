using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Reports;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Auditions;

/// <summary>Keeps measurements and file hashes between runs in a folder beside the audition file. It may be deleted at any time.</summary>
/// <remarks>
/// One small file per entry, written whole or not at all, each opening with the hash of the rest: a run that was killed, two runs at once
/// or a damaged disk cost a measurement, never a wrong one. What can't be written is silently not kept.
/// </remarks>
public sealed class TakeCache : IPictureStore
{
    /// <summary>Name of the folder.</summary>
    public const string FolderName = ".flickerprobe-cache";

    /// <summary>A file changed so shortly before it was hashed might change again within its time stamp's resolution.</summary>
    private static readonly TimeSpan Settled = TimeSpan.FromSeconds(2);

    private readonly string _folder;
    private readonly TimeProvider _clock;

    /// <summary>The cache of an audition.</summary>
    /// <param name="auditionFolder">Folder of the audition file.</param>
    /// <param name="clock">Tells how old files are.</param>
    public TakeCache(string auditionFolder, TimeProvider clock)
    {
        _folder = Path.Combine(auditionFolder, FolderName);
        _clock = clock;
        SweepLeftovers();
    }

    /// <summary>What was kept under a key; null when nothing usable was.</summary>
    /// <param name="key">The key.</param>
    /// <param name="dimmer">Level of a take that is no sweep.</param>
    /// <param name="withPictures">Whether pictures are needed.</param>
    public TakeOutcome? Find(TakeKey key, double? dimmer, bool withPictures)
    {
        if (Read<KeptTake>(Place(key.FileName, "take")) is not { } kept || kept.Key != key.Text) return null;
        KeptPictures? pictures = null;
        if (withPictures)
        {
            pictures = Read<KeptPictures>(Place(key.FileName, "pictures"));
            if (pictures is null || pictures.Key != key.Text || pictures.Exhibits.Count != kept.Levels.Count || pictures.Extras?.Count != kept.Levels.Count) return null;
        }
        return kept.Unpack(pictures, dimmer);
    }

    /// <summary>Keeps a measurement.</summary>
    public void Keep(TakeKey key, TakeOutcome outcome, bool withPictures)
    {
        (KeptTake take, KeptPictures pictures) = KeptTake.Pack(key.Text, outcome);
        // Pictures first: a take that is there has its pictures there.
        if (withPictures) Write(Place(key.FileName, "pictures"), pictures);
        Write(Place(key.FileName, "take"), take);
    }

    /// <summary>The hash of a file; read again only when its length or its time has changed.</summary>
    public string Sha256(string path, CancellationToken cancellation)
    {
        var file = new FileInfo(path);
        (long length, DateTime changed) = (file.Length, file.LastWriteTimeUtc);
        string place = Place(Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(file.FullName)))[..32], "hash");
        if (Read<KeptHash>(place) is { } kept && kept.Path == file.FullName && kept.Length == length && kept.ChangedTicks == changed.Ticks) return kept.Sha256;
        DateTime now = _clock.GetUtcNow().UtcDateTime;
        string hash = FileHash.Sha256(path, cancellation);
        if (now - changed > Settled) Write(place, new KeptHash(file.FullName, length, changed.Ticks, hash));
        return hash;
    }

    /// <inheritdoc/>
    public byte[] Picture(string key, Func<byte[]> draw)
    {
        string place = Place(Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes($"{TakeKey.Program}\n{key}")))[..32], "picture");
        if (CheckedFile.Read(place) is { } kept) return kept;
        byte[] picture = draw();
        CheckedFile.Write(place, picture);
        return picture;
    }

    private string Place(string name, string kind) => Path.Combine(_folder, $"{name}.{kind}");

    private static T? Read<T>(string path) where T : class
    {
        try
        {
            return CheckedFile.Read(path) is { } body ? JsonSerializer.Deserialize<T>(body, KeptJson.Options) : null;
        }
        catch (Exception problem) when (problem is JsonException or NotSupportedException or InputException)
        {
            return null;
        }
    }

    private static void Write<T>(string path, T value) => CheckedFile.Write(path, JsonSerializer.SerializeToUtf8Bytes(value, KeptJson.Options));

    // A killed run leaves its half-written file behind under another name.
    private void SweepLeftovers()
    {
        if (!Directory.Exists(_folder)) return;
        try
        {
            foreach (string leftover in Directory.EnumerateFiles(_folder, "*.part"))
            {
                if (_clock.GetUtcNow().UtcDateTime - File.GetLastWriteTimeUtc(leftover) > TimeSpan.FromHours(1)) File.Delete(leftover);
            }
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            // Nothing depends on it.
        }
    }
}
