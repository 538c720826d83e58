using System.Text.Json;
using System.Text.Json.Serialization;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Rendering;

/// <summary>Everything that makes a clip: lights, scene, camera, faults, encoder. The same recipe gives the same pictures.</summary>
/// <remarks>
/// A recipe writes to JSON and reads back (<see cref="ToJson"/>), so that a clip that caused trouble can be made again.
/// Row r of sensor frame n integrates the light over <see cref="ExposureSeconds"/>, centred at
/// <see cref="StartSeconds"/> + n/<see cref="FrameRate"/> + r·<see cref="ReadoutSeconds"/>/<see cref="Height"/>.
/// </remarks>
public sealed record ClipRecipe
{
    /// <summary>What the clip is called in lists; free text.</summary>
    public string Name { get; init; } = "";

    /// <summary>Frames per second of the sensor (for interlaced clips: pairs of fields per second).</summary>
    public required FrameRate FrameRate { get; init; }

    /// <summary>Exposure time of a row, s.</summary>
    public required double ExposureSeconds { get; init; }

    /// <summary>Readout time of the full coded height, s: rows × row time. Negative: bottom row first. 0: global shutter.</summary>
    public required double ReadoutSeconds { get; init; }

    /// <summary>Frames exposed by the sensor, before any are dropped or repeated.</summary>
    public required int Frames { get; init; }

    /// <summary>Width as the sensor reads it, pixels.</summary>
    public int Width { get; init; } = 320;

    /// <summary>Height as the sensor reads it, rows.</summary>
    public int Height { get; init; } = 180;

    /// <summary>Time on the lights' clocks at the middle of the first exposure of row 0, s.</summary>
    public double StartSeconds { get; init; }

    /// <summary>Seed of everything random.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>The mains that mains-locked waveforms follow.</summary>
    public MainsSupply Mains { get; init; } = new();

    /// <summary>The lights in the room.</summary>
    public required IReadOnlyList<LightSource> Sources { get; init; }

    /// <summary>What the camera sees, back to front.</summary>
    public required IReadOnlyList<Surface> Surfaces { get; init; }

    /// <summary>People crossing the picture, drawn over the surfaces.</summary>
    public IReadOnlyList<Passer> Passers { get; init; } = [];

    /// <summary>The camera's transfer curve.</summary>
    public TransferCurve Curve { get; init; } = TransferCurve.Bt709;

    /// <summary>Sensor noise.</summary>
    public SensorNoise Noise { get; init; } = new();

    /// <summary>Sample layout of the recording.</summary>
    public PixelLayout Layout { get; init; } = new();

    /// <summary>Signal at which the camera clips, of the scale 0 black … 1 nominal white.</summary>
    public double ClipSignal { get; init; } = 1;

    /// <summary>What goes wrong.</summary>
    public ClipFaults Faults { get; init; } = new();

    /// <summary>How it is compressed.</summary>
    public ClipEncoding Encoding { get; init; } = new();

    /// <summary>Width and height in the file: the sensor's, exchanged where the pictures are turned on their side.</summary>
    [JsonIgnore]
    public (int Width, int Height) CodedSize => Faults.TurnedDegrees is 90 or 270 ? (Height, Width) : (Width, Height);

    /// <summary>How recipes and truths are written.</summary>
    public static JsonSerializerOptions JsonOptions { get; } = new()
    {
        WriteIndented = true,
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>The recipe as JSON.</summary>
    public string ToJson() => JsonSerializer.Serialize(this, JsonOptions);

    /// <summary>Reads what <see cref="ToJson"/> wrote.</summary>
    public static ClipRecipe FromJson(string json) =>
        JsonSerializer.Deserialize<ClipRecipe>(json, JsonOptions) ?? throw new JsonException("The recipe is empty.");

    /// <summary>
    /// A grey wall filling the frame under one lamp: the plainest clip there is. Change it with <c>with</c>.
    /// </summary>
    public static ClipRecipe Wall(Waveform light, FrameRate frameRate, double exposureSeconds, double readoutSeconds, double seconds, double signalLevel = 0.55) => new()
    {
        FrameRate = frameRate,
        ExposureSeconds = exposureSeconds,
        ReadoutSeconds = readoutSeconds,
        Frames = Math.Max(1, (int)Math.Round(seconds * frameRate.FramesPerSecond)),
        Sources = [LightSource.Of("lamp", light)],
        Surfaces = [new Surface { Name = "wall", SignalLevel = signalLevel, Lights = [new LightOnSurface { Source = "lamp" }] }],
    };
}
