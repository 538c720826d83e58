using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Results;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Writes a measured take down the way the result file has it.</summary>
internal static class TakeRecord
{
    /// <summary>The take as the result file has it.</summary>
    public static TakeResult Of(MeasuredTake take)
    {
        TakeMeasurement m = take.Measurement;
        return new TakeResult
        {
            Clip = take.ClipName,
            Sha256 = take.Sha256,
            FrameRate = RateText(m.Take.Rate),
            Frames = m.Frames,
            ExposureTime = m.Take.Exposure?.Seconds,
            ReadoutTime = m.Take.Readout?.Seconds,
            Region = new RegionResult(take.Region.X, take.Region.Y, take.Region.Width, take.Region.Height),
            Level = Level(m.Level),
            ModulationDepth = m.ModulationDepth,
            ModulationDepthParts = Parts(m.DepthParts),
            FlickerIndex = m.FlickerIndex,
            DetectionLimit = m.DetectionLimit,
            SlowestBeatHz = m.Take.Rate.IsStandIn ? null : Known(m.SlowestBeatHz),
            LockedBound = m.LockedBound,
            HalfWaveBound = m.HalfWaveBound,
            FineBands = m.FineBands,
            IfNothingStands = Moving(m),
            Tones = [.. m.Tones.Select(t => Tone(t, m.Take.Rate))],
            Warnings = Warnings(m.Findings),
            PassForbiddenBy = Forbidding(m.Findings),
            Channels = take.Channels.Count == 0 ? null
                : [.. take.Channels.Select(c => Channel(c, m))],
            Waveform = m.Waveform,
            WaveformHalfWidth = m.Waveform.Length == 0 ? null : Known(m.WaveformHalfWidth),
            Facts = take.Facts,
            Pictures = Pictures(take),
        };
    }

    /// <summary>What a result file's take says about its light: as much as forecasts and verdicts need.</summary>
    /// <exception cref="Units.InputException">The file holds a rate that is none.</exception>
    public static TakeMeasurement Read(TakeResult take) => new(
        FormatOf(take), take.Frames, take.Frames, new SignalLevel(take.Level.Mean, take.Level.Peak, take.Level.Clipped, take.Level.Dark),
        take.ModulationDepth, take.FlickerIndex, take.DetectionLimit, take.SlowestBeatHz ?? double.PositiveInfinity, take.LockedBound,
        [.. take.Tones.Select(ReadTone)], ReadFindings(take.Warnings, take.PassForbiddenBy))
    {
        HalfWaveBound = take.HalfWaveBound,
        FineBands = take.FineBands,
        IfNothingStands = ReadMoving(take.IfNothingStands),
    };

    private static ChannelResult Channel(MeasuredChannel channel, TakeMeasurement whole)
    {
        TakeMeasurement m = channel.Measurement;
        Finding[] own = [.. m.Findings.Where(f => !whole.Findings.Any(w => w.Code == f.Code && w.ForbidsPass == f.ForbidsPass))];
        return new ChannelResult(channel.Name, m.ModulationDepth, m.DetectionLimit, [.. m.Tones.Select(t => Tone(t, m.Take.Rate))])
        {
            IfNothingStands = Moving(m),
            LockedBound = m.LockedBound,
            HalfWaveBound = m.HalfWaveBound,
            FineBands = m.FineBands,
            Warnings = Warnings(own),
            PassForbiddenBy = Forbidding(own),
        };
    }

    /// <summary>The same for one of its colour channels.</summary>
    public static TakeMeasurement Read(TakeResult take, ChannelResult channel)
    {
        TakeMeasurement whole = Read(take);
        return whole with
        {
            ModulationDepth = channel.ModulationDepth,
            FlickerIndex = null,
            DetectionLimit = channel.DetectionLimit,
            // Older files leave them to the take.
            LockedBound = channel.LockedBound ?? whole.LockedBound,
            HalfWaveBound = channel.HalfWaveBound ?? whole.HalfWaveBound,
            FineBands = channel.LockedBound is null ? whole.FineBands : channel.FineBands,
            IfNothingStands = ReadMoving(channel.IfNothingStands),
            Tones = [.. channel.Tones.Select(ReadTone)],
            Findings = [.. whole.Findings, .. ReadFindings(channel.Warnings, channel.PassForbiddenBy)],
        };
    }

    private static MovingOnlyResult? Moving(TakeMeasurement take) => take.IfNothingStands is { } moving ? new MovingOnlyResult(moving.ModulationDepth, moving.DetectionLimit) : null;

    private static MovingOnly? ReadMoving(MovingOnlyResult? moving) => moving is null ? null : new MovingOnly(moving.ModulationDepth, moving.DetectionLimit);

    private static IReadOnlyList<ReasonResult> Warnings(IReadOnlyList<Finding> findings) => [.. findings.DistinctBy(f => (f.Code, f.Message)).Select(f => new ReasonResult(f.Code, f.Message))];

    /// <summary>Codes of those findings that alone forbid a pass.</summary>
    public static IReadOnlyList<string> Forbidding(IReadOnlyList<Finding> findings) => [.. findings.Where(f => f.ForbidsPass).Select(f => f.Code).Distinct()];

    /// <summary>Warnings of a result file as findings.</summary>
    public static IReadOnlyList<Finding> ReadFindings(IReadOnlyList<ReasonResult> warnings, IReadOnlyList<string> forbidding) =>
        [.. warnings.Select(w => new Finding(w.Code, w.Message) { ForbidsPass = forbidding.Contains(w.Code) })];

    /// <summary>A rate as the result file has it: a still has none.</summary>
    public static string? RateText(FrameRate rate) => rate.IsStandIn ? null : rate.ToString();

    /// <summary>A rate of a result file.</summary>
    /// <exception cref="Units.InputException">It is no rate.</exception>
    public static FrameRate ReadRate(string? rate) => rate is null ? FrameRate.OfStill : FrameRate.Parse(rate);

    private static CameraFormat FormatOf(TakeResult take) => new(
        ReadRate(take.FrameRate),
        take.ExposureTime is { } exposure ? ExposureTime.FromSeconds(exposure) : null,
        take.ReadoutTime is { } readout ? ReadoutTime.FromSeconds(readout) : null);

    private static Tone ReadTone(ToneResult tone) => new(
        Estimate.Exactly(tone.AliasHz ?? 0), Estimate.Exactly(tone.BandsPerHeight ?? 0), tone.Amplitude, tone.PhaseRadians ?? 0,
        tone.FrequencyHz, tone.CandidatesHz, tone.Group, tone.HarmonicNumber);

    private static LevelFigures Level(SignalLevel level) => new(level.Mean, level.Peak, level.Clipped, level.Dark);

    private static ToneResult Tone(Tone tone, FrameRate rate) => new()
    {
        AliasHz = rate.IsStandIn ? null : tone.AliasHz.Value,
        FrequencyHz = tone.FrequencyHz,
        CandidatesHz = tone.CandidatesHz,
        Amplitude = tone.Amplitude,
        BandsPerHeight = tone.BandsPerHeight.Value,
        PhaseRadians = tone.PhaseRadians,
        Group = tone.Group,
        HarmonicNumber = tone.HarmonicNumber,
        FrequencyHzParts = Parts(tone.FrequencyParts),
        Parts = Parts(tone.Parts),
    };

    private static IntervalPart[] Parts(IReadOnlyList<UncertaintyPart> parts) => [.. parts.Select(p => new IntervalPart(p.Cause, p.HalfWidth))];

    /// <summary>What a clip says of itself, for the record.</summary>
    public static ClipFacts Facts(ClipInfo clip) => new(
        clip.Codec, clip.Width, clip.Height, clip.Pixels.Name, clip.Pixels.Depth,
        clip.Range == Light.SignalRange.Full ? "full" : "limited",
        clip.Transfer.Name, clip.TransferAssumed,
        clip.Fields switch { FieldOrder.TopFieldFirst => "top field first", FieldOrder.BottomFieldFirst => "bottom field first", _ => null },
        clip.Orientation.RotationDegrees);

    private static TakePictures? Pictures(MeasuredTake take) => take.StillPng is null && take.Measurement.Exhibit is null
        ? null
        : new TakePictures(take.StillPng, take.DisplayedWidth, take.DisplayedHeight, take.Measurement.Exhibit) { Extras = take.Extras };

    /// <summary>Unknown is null in the file, never a number that isn't one.</summary>
    private static double? Known(double value) => double.IsFinite(value) ? value : null;
}
