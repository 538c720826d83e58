using FlickerProbe.Camera;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Pipeline;

/// <summary>The first half of the pipeline: clip → regions → rows of linear light → tones, for one take.</summary>
/// <param name="cameras">Where stored cameras are looked up.</param>
public sealed class TakeMeasurer(CameraStore cameras)
{
    private static readonly string[] ChannelNames = ["red", "green", "blue"];

    // An estimate takes one processor and much memory; while one take is estimated others are decoded, which fills the rest.
    private static readonly SemaphoreSlim Estimates = new(Math.Max(1, Environment.ProcessorCount / 2));

    // ffmpeg fills two processors by itself. Two clips read at once would be done at the same time and wait for one another's estimates with all their rows
    // in memory; one after the other they are as fast, and while one is estimated the next is only beginning.
    private static readonly SemaphoreSlim Readings = new(Math.Max(1, Environment.ProcessorCount / 2));

    /// <summary>Measures every region of a take.</summary>
    /// <exception cref="Units.InputException">A setting can't be used with this clip.</exception>
    /// <exception cref="ClipException">The clip can't be read or holds nothing measurable.</exception>
    /// <exception cref="ProgramMissingException">ffmpeg or ffprobe is missing.</exception>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public IReadOnlyList<MeasuredTake> Measure(TakeRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        SampledClip clip = Sample(request, progress, cancellation);
        List<MeasuredTake> takes = MeasureRegions(request, clip, progress, cancellation);
        // Areas that the program chose by their brightness are looked at once more by how they flicker.
        if (request.Regions.Count == 0 && AlikeRegions.Of(clip, request, takes, cancellation) is { } parts)
        {
            IReadOnlyList<MeasuredTake> divided = Measure(request with { Regions = parts }, progress, cancellation);
            // Where one is wanted, the worst speaks.
            return request.EveryArea ? divided : [divided.MaxBy(t => t.Measurement.ModulationDepth?.Value ?? 0)!];
        }
        // From here on its rows are done with.
        return WithMaps(clip.Info, clip.StillPng, request, takes, 0, takes[0].Measurement.Frames, cancellation);
    }

    /// <summary>The request's regions, divided as <see cref="Measure"/> divides those that it finds itself: where their parts flicker differently.</summary>
    /// <inheritdoc cref="Measure"/>
    public IReadOnlyList<Region> Divided(TakeRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        SampledClip clip = Sample(request, progress, cancellation);
        return AlikeRegions.Of(clip, request, MeasureRegions(request, clip, progress, cancellation), cancellation) ?? request.Regions;
    }

    private static List<MeasuredTake> MeasureRegions(TakeRequest request, SampledClip clip, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        string stage = $"{Path.GetFileName(request.Clip)}: measuring";
        var takes = new List<MeasuredTake>();
        foreach (SampledRegion region in clip.Regions)
        {
            progress?.Report(new StageProgress(stage, (double)takes.Count / clip.Regions.Count));
            takes.Add(MeasureRegion(request, clip, region, cancellation));
        }
        progress?.Report(new StageProgress(stage, 1));
        return takes;
    }

    /// <summary>The takes with the maps of where their tones live, when pictures are wanted.</summary>
    internal static IReadOnlyList<MeasuredTake> WithMaps(
        ClipInfo info, byte[]? stillPng, TakeRequest request, IReadOnlyList<MeasuredTake> takes, int firstFrame, int frameCount, CancellationToken cancellation)
    {
        if (!request.WithPictures) return takes;
        IReadOnlyList<Results.CaptionedPicture> maps = ModulationMaps.Draw(info, stillPng, request, takes, firstFrame, frameCount, cancellation);
        return [.. takes.Select(take => take with { Extras = maps })];
    }

    /// <summary>Reads the regions of a take's clip.</summary>
    /// <inheritdoc cref="Measure"/>
    internal SampledClip Sample(TakeRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        string shown = Path.GetFileName(request.Clip);
        ClipInfo info = ClipProbe.Probe(request.Clip, null, cancellation);
        // What contradicts the clip is refused before the long work.
        FrameRate? rate = request.FrameRate ?? (info.IsStill ? null : info.Rate);
        ExposureTime? exposure = request.Shutter?.At(rate);
        ReadoutTime? readout = ReadoutOf(request, info, rate);

        IReadOnlyList<Region> regions = request.Regions;
        if (regions.Count == 0)
        {
            progress?.Report(new StageProgress($"{shown}: finding the lit area", null));
            regions = RegionSearch.In(info, request.Transfer, request.Range, cancellation).Regions(info, request.EveryArea);
            progress?.Report(new StageProgress($"{shown}: finding the lit area", 1));
        }
        SampledClip clip = Read(
            info,
            new ClipRequest(regions)
            {
                UserRate = request.FrameRate,
                Exposure = exposure,
                Readout = readout,
                Transfer = request.Transfer,
                Range = request.Range,
                Colour = LitChannels.AreWanted(request.Colour, info, regions),
                ReferencePath = request.Reference,
                WantStill = request.WithPictures,
            },
            progress is null ? null : new DecodeReport(progress, $"{shown}: reading"),
            cancellation);
        return LitChannels.Unmeasured(request.Colour, info, regions) is { } finding ? clip with { Findings = [.. clip.Findings, finding] } : clip;
    }

    private static SampledClip Read(ClipInfo info, ClipRequest request, IProgress<DecodeProgress>? progress, CancellationToken cancellation)
    {
        Readings.Wait(cancellation);
        try
        {
            return ClipReader.Read(info, request, progress, cancellation);
        }
        finally
        {
            Readings.Release();
        }
    }

    /// <summary>Measures one region of a clip that was read, or a part of it. The rows of its colours are released on the way.</summary>
    internal static MeasuredTake MeasureRegion(TakeRequest request, SampledClip clip, SampledRegion region, CancellationToken cancellation)
    {
        TakeMeasurement Measured(SampledTake take, bool withPictures)
        {
            Estimates.Wait(cancellation);
            try
            {
                TakeMeasurement measurement = TakeEstimator.Measure(take, new EstimatorOptions(withPictures, LargePlanes.GiveBackWhereMany), cancellation);
                LargePlanes.GiveBack();
                return measurement with { Findings = [.. measurement.Findings, .. clip.Findings] };
            }
            finally
            {
                Estimates.Release();
            }
        }
        (int width, int height) = clip.Info.DisplayedSize;
        LitChannels lit = LitChannels.Of(region.Channels ?? []);
        var colours = new List<MeasuredChannel>();
        for (int n = 0; n < region.Channels?.Count; n++)
        {
            if (lit.Numbers.Contains(n)) colours.Add(new MeasuredChannel(ChannelNames[n], Measured(region.Channels[n], withPictures: false)));
            // Done with: what is measured after it needs the room.
            region.Channels[n].Traces.Release();
        }
        if (region.Channels is not null) LargePlanes.GiveBack();
        IReadOnlyList<MeasuredChannel> channels = ColourRows.Widened(clip.Info, colours);
        return new MeasuredTake(
            request.ClipName ?? request.Clip, TakeRecord.Facts(clip.Info), width, height, clip.Sha256, region.Region,
            lit.Beside(Measured(region.Take, request.WithPictures), channels, clip.Info), channels, clip.StillPng);
    }

    private ReadoutTime? ReadoutOf(TakeRequest request, ClipInfo info, FrameRate? rate)
    {
        ReadoutTime? readout = request.Camera is null ? request.Readout : cameras.ReadoutFor(request.Camera, rate, info.Width, info.Height);
        // Rows can't still be read when the next frame's are due; the same allowance for rounding as for the shutter.
        if (readout is not null && rate is not null && Math.Abs(readout.Seconds) > rate.PeriodSeconds * 1.002)
        {
            throw new Units.InputException(FormattableString.Invariant(
                $"A readout of {readout.ToShortText()} is longer than one frame at {rate.ToShortText()} frames per second ({rate.PeriodSeconds * 1000:0.##} ms): give the readout of this mode, or the right --frame-rate."));
        }
        return readout;
    }

    private sealed class DecodeReport(IProgress<StageProgress> progress, string work) : IProgress<DecodeProgress>
    {
        public void Report(DecodeProgress value) =>
            progress.Report(new StageProgress(work, value.ExpectedFrames is > 0 and int expected ? (double)value.Frames / expected : null));
    }
}
