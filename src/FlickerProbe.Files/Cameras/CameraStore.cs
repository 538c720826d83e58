using System.Text.Json;
using System.Text.Json.Serialization;
using FlickerProbe.Camera;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Cameras;

/// <summary>The venue's cameras by name, kept in <c>cameras.json</c> of the user's settings folder.</summary>
/// <param name="folder">The settings folder.</param>
public sealed class CameraStore(string folder)
{
    /// <summary>Environment variable that puts the settings folder elsewhere.</summary>
    public const string FolderVariable = "FLICKERPROBE_HOME";

    private const string SchemaName = "flickerprobe/cameras/1";
    private static readonly JsonSerializerOptions Json = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        WriteIndented = true,
        NewLine = "\n",
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
    };

    /// <summary>The store in the user's settings folder: <c>FLICKERPROBE_HOME</c>, else <c>flickerprobe</c> in the system's place for settings
    /// (<c>XDG_CONFIG_HOME</c> or <c>~/.config</c>, <c>%APPDATA%</c>, <c>~/Library/Application Support</c>).</summary>
    public static CameraStore OfUser()
    {
        string? own = Environment.GetEnvironmentVariable(FolderVariable);
        return new CameraStore(string.IsNullOrWhiteSpace(own)
            ? Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.ApplicationData, Environment.SpecialFolderOption.DoNotVerify), "flickerprobe")
            : own);
    }

    /// <summary>The file that holds the cameras.</summary>
    public string FilePath { get; } = Path.Combine(folder, "cameras.json");

    /// <summary>Names of all stored cameras, in alphabetical order.</summary>
    /// <exception cref="InputException">The file is damaged.</exception>
    public IReadOnlyList<string> Names() => [.. Load().Keys];

    /// <summary>All stored modes of a camera.</summary>
    /// <exception cref="InputException">There is no such camera, or the file is damaged.</exception>
    public IReadOnlyList<CameraMode> Modes(string name)
    {
        SortedDictionary<string, List<CameraMode>> cameras = Load();
        if (cameras.TryGetValue(name, out List<CameraMode>? modes)) return modes;
        string known = cameras.Count == 0 ? "none is stored yet" : "stored are " + string.Join(", ", cameras.Keys);
        throw new InputException($"There is no camera called '{name}' ({known}): store it with flickerprobe calibrate CLIP --known 120Hz --save {name}.");
    }

    /// <summary>The readout of a camera in the mode of a clip.</summary>
    /// <param name="name">The camera.</param>
    /// <param name="rate">The clip's frame rate; null for a still picture.</param>
    /// <param name="width">Width of the coded picture, pixels.</param>
    /// <param name="height">Height of the coded picture, pixels.</param>
    /// <exception cref="InputException">The camera is unknown, or was never measured in this mode.</exception>
    public ReadoutTime ReadoutFor(string name, FrameRate? rate, int width, int height)
    {
        IReadOnlyList<CameraMode> modes = Modes(name);
        CameraMode? mode = modes.FirstOrDefault(m => m.Width == width && m.Height == height && FrameRate.TryParse(m.FrameRate, out FrameRate? known) && rate is not null && Near(known, rate));
        if (mode is null)
        {
            string known = string.Join(", ", modes.Select(m => $"{m.Width}x{m.Height} at {FrameRate.Parse(m.FrameRate).ToShortText()}"));
            throw new InputException($"The readout of camera '{name}' is known for {known}, but this clip is {width}x{height} {(rate is null ? "and a still picture" : $"at {rate.ToShortText()} frames per second")}: calibrate that mode too, or give --readout.");
        }
        double relative = (mode.ReadoutHighSeconds - mode.ReadoutLowSeconds) / (2 * Estimate.Coverage95 * Math.Abs(mode.ReadoutSeconds));
        return mode.ReadoutSeconds == 0 ? ReadoutTime.Global : ReadoutTime.FromSeconds(mode.ReadoutSeconds, relative);
    }

    /// <summary>Stores a mode of a camera; what was known of the same mode is replaced.</summary>
    /// <exception cref="InputException">The file can't be read or written.</exception>
    public void Save(string name, CameraMode mode)
    {
        SortedDictionary<string, List<CameraMode>> cameras = Load();
        List<CameraMode> modes = cameras.TryGetValue(name, out List<CameraMode>? known) ? known : [];
        modes.RemoveAll(m => m.FrameRate == mode.FrameRate && m.Width == mode.Width && m.Height == mode.Height);
        modes.Add(mode);
        cameras[name] = modes;
        AtomicFile.Write(FilePath, JsonSerializer.Serialize(new StoredCameras(SchemaName, cameras), Json) + "\n");
    }

    // A phone's 29.83 or 30.01 is the same mode as its nominal 30.
    private static bool Near(FrameRate left, FrameRate right) => Math.Abs(left.Hertz / right.Hertz - 1) < 0.01;

    private SortedDictionary<string, List<CameraMode>> Load()
    {
        if (!File.Exists(FilePath)) return new(StringComparer.OrdinalIgnoreCase);
        try
        {
            StoredCameras? stored = JsonSerializer.Deserialize<StoredCameras>(File.ReadAllText(FilePath), Json);
            // The serializer does not look inside lists and dictionaries.
            bool whole = stored is not null && stored.Cameras.Values.All(modes => modes is not null && modes.TrueForAll(mode => mode is not null));
            if (whole && stored!.Schema == SchemaName) return new(stored.Cameras, StringComparer.OrdinalIgnoreCase);
        }
        catch (Exception problem) when (problem is JsonException or IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw new InputException($"The stored cameras in '{FilePath}' can't be read ({problem.Message.TrimEnd('.')}): mend the file or take it away.", problem);
        }
        throw new InputException($"'{FilePath}' does not hold cameras in a form this version reads ({SchemaName}): mend the file or take it away.");
    }

    private sealed record StoredCameras(string Schema, SortedDictionary<string, List<CameraMode>> Cameras);
}
