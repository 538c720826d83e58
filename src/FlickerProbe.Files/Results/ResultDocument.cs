using System.Text.Json.Serialization;
using FlickerProbe.Light;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Results;

/// <summary>The result file, member for member (schema <c>flickerprobe/result/1</c>). SI units, ratios 0…1, unknown is null.</summary>
public sealed record ResultDocument
{
    /// <summary>The schema this build writes.</summary>
    public const string SchemaName = "flickerprobe/result/1";

    public string Schema { get; init; } = SchemaName;
    public required ToolInfo Tool { get; init; }

    /// <summary>Title of the audition; null for a single clip.</summary>
    public string? Title { get; init; }

    /// <summary>When the result was made, UTC; the only member that differs between two runs on the same inputs.</summary>
    public DateTimeOffset? Created { get; init; }

    /// <summary>Who shot and judged; null when not given.</summary>
    public string? TestedBy { get; init; }

    /// <summary>When it was shot, as the audition file writes it; null when not given.</summary>
    public string? TestedOn { get; init; }

    public required IReadOnlyList<FixtureResult> Fixtures { get; init; }
}

public sealed record ToolInfo(string Version)
{
    /// <summary>Sha256 of the policy text the verdicts were held against; null for the built-in one.</summary>
    public string? PolicySha256 { get; init; }
}

public sealed record ReasonResult(string Code, string Message)
{
    /// <summary>The line it was held against, in the unit of the message; null when the reason has none.</summary>
    public double? Line { get; init; }

    /// <summary>Where the line comes from; null when the reason has none.</summary>
    public string? Source { get; init; }
}

public sealed record FixtureResult
{
    public required string Name { get; init; }
    public required string Verdict { get; init; }
    public required IReadOnlyList<ReasonResult> Reasons { get; init; }
    public required IReadOnlyList<LevelResult> Levels { get; init; }

    /// <summary>The dimmer levels in use, 0…1, which the verdict is for; null: all that were measured.</summary>
    public IReadOnlyList<double>? LevelsUsed { get; init; }

    /// <summary>Those of the levels that are in use.</summary>
    [JsonIgnore]
    public IEnumerable<LevelResult> LevelsInUse => Levels.Where(IsInUse);

    /// <summary>Whether the verdict is for a level.</summary>
    public bool IsInUse(LevelResult level) => LevelsUsed is null || (level.Dimmer is { } dimmer && LevelsUsed.Contains(dimmer));

    /// <summary>What to do, cheapest first; plain sentences.</summary>
    public IReadOnlyList<string> Advice { get; init; } = [];

    /// <summary>The next take to shoot when something can't be told; null when nothing is open.</summary>
    public string? NextTake { get; init; }

    /// <summary>Safe exposures per frame rate; null when not computed.</summary>
    public IReadOnlyList<SafeExposureResult>? SafeExposures { get; init; }

    public string? Price { get; init; }
    public string? Mode { get; init; }
    public string? Firmware { get; init; }
    public string? Notes { get; init; }

    /// <summary>Forecast depth over frame rate and exposure, for the risk map; not written to the file.</summary>
    [JsonIgnore]
    public Plots.RiskGrid? RiskGrid { get; init; }
}

public sealed record SafeExposureResult(string FrameRate, double ExposureTime, string Label, Estimate ModulationDepth)
{
    /// <summary>How far the mains frequency may drift either way before the pass line is reached, hertz of mains; null where the exposure does not rest
    /// on holding whole periods of the light. Searched up to 2 % of the mains frequency: that value means that much or more.</summary>
    public double? MainsToleranceHz { get; init; }
}

public sealed record LevelResult
{
    public double? Dimmer { get; init; }
    public required string Verdict { get; init; }
    public required LightResult Light { get; init; }
    public required IReadOnlyList<FormatResult> Formats { get; init; }
    public required IReadOnlyList<TakeResult> Takes { get; init; }

    /// <summary>Informative view for people in the room; null when not computed. Never a compliance test.</summary>
    public RoomResult? Room { get; init; }
}

public sealed record RoomResult(IReadOnlyList<RoomFigure> Figures);

/// <summary>One viewer-side figure: name, value (null when the footage can't tell), the line it is usually held against, what this footage can't see.</summary>
public sealed record RoomFigure(string Metric, double? Value, string Unit, double? Line, string Source, string Remark);

public sealed record LightResult
{
    public Estimate? FundamentalHz { get; init; }
    public required IReadOnlyList<double> CandidatesHz { get; init; }
    public Estimate? ModulationDepth { get; init; }
    public Estimate? FlickerIndex { get; init; }
    public required IReadOnlyList<ComponentResult> Components { get; init; }

    /// <summary>What the takes could not have shown; forecasts from this file add it as a bound.</summary>
    public IReadOnlyList<BlindSpotResult> Blind { get; init; } = [];

    /// <summary>What is doubtful about the takes seen together, such as that they contradict each other.</summary>
    public IReadOnlyList<ReasonResult> Warnings { get; init; } = [];

    /// <summary>Codes of those warnings that alone forbid a pass.</summary>
    public IReadOnlyList<string> PassForbiddenBy { get; init; } = [];
}

public sealed record ComponentResult(Estimate FrequencyHz, Estimate Amplitude, string State)
{
    public double? PhaseRadians { get; init; }
    public IReadOnlyList<double> CandidatesHz { get; init; } = [];

    /// <summary>How far the true frequency may lie from the candidate that it is; null where only one remains.</summary>
    public double? CandidateHalfWidthHz { get; init; }
    public int? Group { get; init; }
    public int? HarmonicNumber { get; init; }
}

public sealed record BlindSpotResult(
    double DetectionLimit, string? FrameRate, double? ExposureTime, double? ReadoutTime, double? SlowestBeatHz, double? LockedBound)
{
    /// <summary>On-camera amplitude that a lamp of half waves might have where it stands still at the take's rate; null when excluded.</summary>
    public double? HalfWaveBound { get; init; }

    /// <summary>Of what may stand still, what light that would make more than a few bands may have; null when unknown.</summary>
    public FineBands? FineBands { get; init; }
}

public sealed record FormatResult
{
    public string? Camera { get; init; }
    /// <summary>Exact fraction; null for a still picture whose camera's rate was not given.</summary>
    public required string? FrameRate { get; init; }
    public double? ExposureTime { get; init; }
    public double? ReadoutTime { get; init; }
    public required string Verdict { get; init; }
    public required Estimate ModulationDepth { get; init; }
    public required IReadOnlyList<double> BeatHz { get; init; }
    public double? Bands { get; init; }

    /// <summary>In what way it shows, one plain phrase.</summary>
    public string? Appearance { get; init; }
    public IReadOnlyList<ReasonResult> Reasons { get; init; } = [];
}

public sealed record TakeResult
{
    public required string Clip { get; init; }
    public required string Sha256 { get; init; }
    /// <summary>Exact fraction; null for a still picture whose camera's rate was not given.</summary>
    public required string? FrameRate { get; init; }
    public required int Frames { get; init; }
    public double? ExposureTime { get; init; }
    public double? ReadoutTime { get; init; }
    public required RegionResult Region { get; init; }
    public required LevelFigures Level { get; init; }
    public Estimate? ModulationDepth { get; init; }
    public Estimate? FlickerIndex { get; init; }
    public required double DetectionLimit { get; init; }

    /// <summary>Parts of the depth's interval, half-widths.</summary>
    public IReadOnlyList<IntervalPart> ModulationDepthParts { get; init; } = [];

    public double? SlowestBeatHz { get; init; }
    public double? LockedBound { get; init; }

    /// <summary>On-camera amplitude that light repeating with the mains itself might have, standing still; null when excluded.</summary>
    public double? HalfWaveBound { get; init; }

    /// <summary>Of what may stand still, what light that would make more than a few bands may have; null when unknown.</summary>
    public FineBands? FineBands { get; init; }

    /// <summary>What the take says where another one shows that nothing stands still; null when nothing could.</summary>
    public MovingOnlyResult? IfNothingStands { get; init; }
    public required IReadOnlyList<ToneResult> Tones { get; init; }
    public required IReadOnlyList<ReasonResult> Warnings { get; init; }

    /// <summary>Codes of those warnings that alone forbid a pass; forecasts from this file keep to them.</summary>
    public IReadOnlyList<string> PassForbiddenBy { get; init; } = [];

    /// <summary>Measurement of each lit primary (red, green, blue); null where they were not measured. Optional.</summary>
    public IReadOnlyList<ChannelResult>? Channels { get; init; }

    /// <summary>Recorded waveform over one period, relative to the mean; empty when no tone was found.</summary>
    public IReadOnlyList<double> Waveform { get; init; } = [];

    /// <summary>Half-width of the waveform's 95 % interval, relative to the mean; null when unknown.</summary>
    public double? WaveformHalfWidth { get; init; }

    /// <summary>What the clip file says of itself, for the record.</summary>
    public ClipFacts? Facts { get; init; }

    /// <summary>Pictures of this take; not written to the file.</summary>
    [JsonIgnore]
    public TakePictures? Pictures { get; init; }
}

/// <summary>Depth and detection limit of a take for light whose bands move.</summary>
public sealed record MovingOnlyResult(Estimate ModulationDepth, double DetectionLimit);

public sealed record ChannelResult(string Channel, Estimate? ModulationDepth, double DetectionLimit, IReadOnlyList<ToneResult> Tones)
{
    /// <summary>As the take's own member of that name.</summary>
    public MovingOnlyResult? IfNothingStands { get; init; }

    /// <summary>As the take's own member of that name.</summary>
    public double? LockedBound { get; init; }

    /// <summary>As the take's own member of that name.</summary>
    public double? HalfWaveBound { get; init; }

    /// <summary>As the take's own member of that name.</summary>
    public FineBands? FineBands { get; init; }

    /// <summary>What was found in this channel and not in the take as a whole.</summary>
    public IReadOnlyList<ReasonResult> Warnings { get; init; } = [];

    /// <summary>Codes of those warnings that alone forbid a pass.</summary>
    public IReadOnlyList<string> PassForbiddenBy { get; init; } = [];
}

public sealed record ClipFacts(
    string Codec, int Width, int Height, string PixelFormat, int BitDepth, string Range, string Transfer, bool TransferAssumed, string? FieldOrder, int RotationDegrees);

public sealed record RegionResult(int X, int Y, int Width, int Height);

public sealed record LevelFigures(double Mean, double Peak, double Clipped, double Dark);

public sealed record ToneResult
{
    /// <summary>Alias against the frame rate; null for a still picture, which has no rate.</summary>
    public required double? AliasHz { get; init; }
    public Estimate? FrequencyHz { get; init; }
    public required IReadOnlyList<double> CandidatesHz { get; init; }
    public required Estimate Amplitude { get; init; }
    public double? BandsPerHeight { get; init; }
    public double? PhaseRadians { get; init; }
    public int? Group { get; init; }
    public int? HarmonicNumber { get; init; }

    /// <summary>Parts of the frequency's interval, half-widths in hertz; empty where several frequencies remain.</summary>
    public IReadOnlyList<IntervalPart> FrequencyHzParts { get; init; } = [];

    /// <summary>Parts of the amplitude's interval, half-widths.</summary>
    public IReadOnlyList<IntervalPart> Parts { get; init; } = [];
}

public sealed record IntervalPart(string Cause, double HalfWidth);

/// <summary>What the report draws for a take, kept beside the result in memory.</summary>
/// <param name="StillPng">A frame of the clip as displayed, PNG; null when there is none.</param>
/// <param name="StillWidth">Displayed width of the clip, pixels: the scale of the region.</param>
/// <param name="StillHeight">Displayed height of the clip, pixels.</param>
/// <param name="Exhibit">Band picture and spectrum; null when the take showed nothing measurable.</param>
public sealed record TakePictures(byte[]? StillPng, int StillWidth, int StillHeight, Measurement.TakeExhibit? Exhibit)
{
    /// <summary>Further pictures to show with the take, such as the modulation map; drawn by whoever measured them.</summary>
    public IReadOnlyList<CaptionedPicture> Extras { get; init; } = [];
}

/// <summary>A finished picture for the report.</summary>
/// <param name="Slug">Part of its file name: lower-case letters, digits and hyphens, such as <c>modulation-map</c>.</param>
/// <param name="Caption">What it shows, one plain sentence.</param>
/// <param name="Png">The picture.</param>
public sealed record CaptionedPicture(string Slug, string Caption, byte[] Png);
