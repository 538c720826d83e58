using System.Text.Json;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Rendering.Truth;

/// <summary>What is known of a rendered clip. Written beside it as JSON; SI units, ratios 0…1.</summary>
public sealed record ClipTruth
{
    /// <summary>Version of this shape.</summary>
    public string Schema { get; init; } = "flickerprobe/clip-truth/1";

    /// <summary>Rate of the sensor, exact.</summary>
    public required FrameRate FrameRate { get; init; }

    /// <summary>Exposure time, s.</summary>
    public required double ExposureSeconds { get; init; }

    /// <summary>Readout time of the coded height, s, negative from bottom to top.</summary>
    public required double ReadoutSeconds { get; init; }

    /// <summary>Frames in the file: sensor frame, sensor time and time stamp of each.</summary>
    public required IReadOnlyList<PlannedFrame> Frames { get; init; }

    /// <summary>One entry per surface.</summary>
    public required IReadOnlyList<RegionTruth> Regions { get; init; }

    /// <summary>The recipe that makes the clip again.</summary>
    public required ClipRecipe Recipe { get; init; }

    /// <summary>The region of that name.</summary>
    public RegionTruth Region(string name) =>
        Regions.FirstOrDefault(r => r.Name == name) ?? throw new ArgumentException($"No region is called '{name}'.");

    /// <summary>The truth as JSON.</summary>
    public string ToJson() => JsonSerializer.Serialize(this, ClipRecipe.JsonOptions);

    /// <summary>Reads what <see cref="ToJson"/> wrote.</summary>
    public static ClipTruth FromJson(string json) =>
        JsonSerializer.Deserialize<ClipTruth>(json, ClipRecipe.JsonOptions) ?? throw new JsonException("The truth is empty.");

    /// <summary>
    /// On-camera modulation depth of a surface's light at another exposure time, exact; frame rate and readout do not
    /// enter it. Without <paramref name="withSteadyLight"/>, sources that do not flicker are left out.
    /// </summary>
    /// <param name="region">Name of the surface.</param>
    /// <param name="exposureSeconds">Exposure time, s.</param>
    /// <param name="withSteadyLight">Whether steady sources on the same surface dilute the depth.</param>
    /// <param name="step">Which dimmer step, from 0.</param>
    public double OnCameraDepth(string region, double exposureSeconds, bool withSteadyLight = false, int step = 0) =>
        TruthFinder.Analysis(Recipe, region, step, withSteadyLight, Channel.Luminance)?.OnCameraDepth(exposureSeconds) ?? 0;

    /// <summary>The same for one primary of a coloured light.</summary>
    public double OnCameraDepth(string region, double exposureSeconds, Channel channel, bool withSteadyLight = false, int step = 0) =>
        TruthFinder.Analysis(Recipe, region, step, withSteadyLight, channel)?.OnCameraDepth(exposureSeconds) ?? 0;
}

/// <summary>Which light is meant.</summary>
[System.Text.Json.Serialization.JsonConverter(typeof(System.Text.Json.Serialization.JsonStringEnumConverter<Channel>))]
public enum Channel
{
    /// <summary>Linear luminance, weighted by the luma matrix.</summary>
    Luminance,

    /// <summary>Linear red.</summary>
    Red,

    /// <summary>Linear green.</summary>
    Green,

    /// <summary>Linear blue.</summary>
    Blue,
}

/// <summary>What is true of one surface. Where several lights fall off differently over it, their shares are those in its middle.</summary>
public sealed record RegionTruth
{
    /// <summary>Name of the surface.</summary>
    public required string Name { get; init; }

    /// <summary>Its rectangle, coded pixels as the sensor reads them (before any <see cref="ClipFaults.TurnedDegrees"/>); surfaces in front may cover parts of it.</summary>
    public required PixelArea Area { get; init; }

    /// <summary>Signal aimed at in its middle.</summary>
    public required double SignalLevel { get; init; }

    /// <summary>
    /// (max − min)/(max + min) of the row light over just the rows and frames of the clip, steady light included, noise
    /// and clipping left out. Smaller than the depth on camera where the clip never meets the extremes, as with locked bands.
    /// </summary>
    public required double DepthInClip { get; init; }

    /// <summary>One entry for every stretch of time in which no source changes its step.</summary>
    public required IReadOnlyList<StepTruth> Steps { get; init; }
}

/// <summary>What is true of one surface during one step.</summary>
public sealed record StepTruth
{
    /// <summary>From when on, s on the lights' clocks; null: from the beginning.</summary>
    public double? StartSeconds { get; init; }

    /// <summary>Dimmer level of the first source on the surface that states one.</summary>
    public double? Dimmer { get; init; }

    /// <summary>Mean luminance relative to that of the first step.</summary>
    public required double MeanLight { get; init; }

    /// <summary>The light without steady sources; null where nothing flickers.</summary>
    public LightTruth? Light { get; init; }

    /// <summary>All light on the surface.</summary>
    public required LightTruth Recorded { get; init; }

    /// <summary>The light without steady sources by primary, for coloured lights; else null.</summary>
    public IReadOnlyDictionary<Channel, LightTruth>? Primaries { get; init; }
}

/// <summary>What is true of one light and one exposure.</summary>
public sealed record LightTruth
{
    /// <summary>Modulation depth of the source, (max − min)/(max + min).</summary>
    public required double ModulationDepth { get; init; }

    /// <summary>Flicker index of the source.</summary>
    public required double FlickerIndex { get; init; }

    /// <summary>Modulation depth of exposure averages, over all moments the exposure can begin.</summary>
    public required double OnCameraDepth { get; init; }

    /// <summary>Lines of at least 0.1 % of the mean, strongest first, at most 40.</summary>
    public required IReadOnlyList<ComponentTruth> Components { get; init; }
}

/// <summary>One spectral line, at the source and on camera.</summary>
public sealed record ComponentTruth
{
    /// <summary>Frequency, Hz; what hangs on the mains has the mean that the mains has over the clip.</summary>
    public required double FrequencyHz { get; init; }

    /// <summary>Amplitude at the source relative to the mean.</summary>
    public required double Amplitude { get; init; }

    /// <summary>sinc(f·Te), signed.</summary>
    public required double Gain { get; init; }

    /// <summary>Amplitude on camera, amplitude·|gain|.</summary>
    public required double OnCameraAmplitude { get; init; }

    /// <summary>What sampling at the frame rate leaves, −F/2 &lt; alias ≤ F/2, Hz.</summary>
    public required double AliasHz { get; init; }

    /// <summary>f · readout: bands down the picture, signed like the readout.</summary>
    public required double Bands { get; init; }
}
