using System.Diagnostics;
using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Decoding;

/// <summary>Reads a clip once from start to end and hands over the row traces of its regions.</summary>
/// <remarks>One thread with synchronous reads: the decoder fills the processor, so handing pictures between threads costs more than it gains.
/// Memory is the traces, one picture and a few rows.</remarks>
public static class ClipReader
{
    /// <summary>Traces larger than this many bytes, those of colours counted in, make do with two strips: enough to tell bands from scenery.</summary>
    private const long ManyTraceBytes = 96L << 20;

    /// <summary>Strips of traces that would be too large with more.</summary>
    internal const int FewStrips = 2;

    /// <summary>Luma, red, green and blue.</summary>
    private const int PlanesInColour = 4;

    /// <summary>Bytes that the traces of so many rows of a clip take.</summary>
    internal static long TraceBytes(int rows, ClipInfo info, int strips, bool colour) => (long)rows * info.Packets * sizeof(float) * strips * (colour ? PlanesInColour : 1);

    /// <summary>Probes and samples a clip.</summary>
    /// <param name="path">The clip or still picture.</param>
    /// <param name="request">What to sample.</param>
    /// <param name="progress">Told about ten times a second; null for nobody.</param>
    /// <param name="cancel">Ends every child and throws.</param>
    /// <exception cref="InputException">A region lies outside the picture, or the table of the curve can't be used.</exception>
    /// <exception cref="ClipException">The clip or the reference can't be read, or holds nothing measurable.</exception>
    /// <exception cref="ProgramMissingException">ffmpeg or ffprobe can't be started.</exception>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public static SampledClip Read(string path, ClipRequest request, IProgress<DecodeProgress>? progress = null, CancellationToken cancel = default) =>
        Read(ClipProbe.Probe(path, request.Programs, cancel), request, progress, cancel);

    /// <summary>Samples a clip that was probed before.</summary>
    /// <inheritdoc cref="Read(string, ClipRequest, IProgress{DecodeProgress}?, CancellationToken)"/>
    public static SampledClip Read(ClipInfo info, ClipRequest request, IProgress<DecodeProgress>? progress = null, CancellationToken cancel = default)
    {
        if (request.Regions.Count == 0) throw new ArgumentException("At least one region.", nameof(request));
        if (info.Rate is null && request.UserRate is null && !info.IsStill)
            throw new ClipException($"'{info.Path}' does not say its frame rate, or says one that no camera has: give the camera's with --frame-rate.");
        TransferFunction? curve = CurveOf(request);
        DateTime modified = File.GetLastWriteTimeUtc(info.Path);

        // Two small tasks beside the decoding; both end with the same token.
        using var both = CancellationTokenSource.CreateLinkedTokenSource(cancel);
        Task<string> hash = Task.Run(() => FileHash.Sha256(info.Path, both.Token), CancellationToken.None);
        Task<byte[]?> still = request.WantStill ? Task.Run(() => StillPicture.Fetch(info, request.Programs, both.Token), CancellationToken.None) : Task.FromResult<byte[]?>(null);
        try
        {
            IReadOnlyList<ReferenceLight>? reference = request.ReferencePath is null ? null : ReadReference(info, request, cancel);
            using RawFrames frames = Open(info, info, request, curve, out List<RegionSampler> samplers, cancel);
            Sample(frames, samplers, info, progress, cancel);
            FieldOrder fields = FieldsOf(info, frames.Log);
            FrameTimes times = TimesOf(info, frames);
            List<Finding> findings = ClipFindings.Of(info, request, fields, frames.Log, frames.FramesRead, frames.EndedBadly);
            var regions = samplers.Select((sampler, n) => Assemble(info, request, sampler, frames.FramesRead, times, fields, reference?[n])).ToList();

            string sha256 = hash.GetAwaiter().GetResult();
            byte[]? png = still.GetAwaiter().GetResult();
            if (new FileInfo(info.Path) is not { Exists: true } now || now.Length != info.FileBytes || now.LastWriteTimeUtc != modified)
                throw new ClipException($"'{info.Path}' changed while it was read: wait until the copying has ended and measure again.");
            return new SampledClip(info, sha256, regions, png, findings);
        }
        catch
        {
            both.Cancel();
            // Let the children end before the caller learns of the failure.
            Task.WhenAll(hash, still).ContinueWith(_ => { }, TaskScheduler.Default).Wait(TimeSpan.FromSeconds(5), CancellationToken.None);
            throw;
        }
    }

    /// <summary>Mean linear light of every row and strip of every region of the request over a whole clip: a view with the fixture off.</summary>
    /// <param name="clip">The clip that it is the reference of: same camera, same view.</param>
    /// <param name="request">The regions; its reference is read.</param>
    /// <param name="cancel">Ends the child and throws.</param>
    /// <returns>One entry per region.</returns>
    internal static IReadOnlyList<ReferenceLight> ReadReference(ClipInfo clip, ClipRequest request, CancellationToken cancel = default)
    {
        string path = request.ReferencePath ?? throw new ArgumentException("The request names no reference.", nameof(request));
        ClipInfo info = ClipProbe.Probe(path, request.Programs, cancel);
        if (info.Width != clip.Width || info.Height != clip.Height || info.Orientation != clip.Orientation)
        {
            throw new ClipException(FormattableString.Invariant(
                $"The reference '{path}' shows {info.DisplayedSize.Width} × {info.DisplayedSize.Height} pixels and '{clip.FileName}' {clip.DisplayedSize.Width} × {clip.DisplayedSize.Height}, or they are turned differently: shoot the reference with the same camera and settings."));
        }
        using RawFrames frames = Open(info, clip, request, CurveOf(request), out List<RegionSampler> samplers, cancel);
        Sample(frames, samplers, info, null, cancel);
        float[][] Mean(TraceMatrix traces, RegionSampler sampler) => MeanOverTime(traces.ToTraces(frames.FramesRead, sampler.Plan.Coded.Y, info.Height));
        return [.. samplers.Select(sampler => new ReferenceLight(Mean(sampler.Traces, sampler), [.. sampler.Channels.Select(channel => Mean(channel.Traces, sampler))]))];
    }

    // A reference has the strips of the clip that it is for, however long either is.
    private static RawFrames Open(ClipInfo info, ClipInfo measured, ClipRequest request, TransferFunction? curve, out List<RegionSampler> samplers, CancellationToken cancel)
    {
        PixelLayout pixels = info.Pixels;
        bool colour = request.Colour && pixels.Model == ColourModel.LumaAndDifference;
        List<CodedRect> rects = [.. request.Regions.Select(region => ToCoded(region, info))];
        RawFrames frames = RawFrames.Open(info, rects.Aggregate((a, b) => a.Around(b)), lumaOnly: !colour, 1, wholeFrames: false, request.Programs, cancel);
        try
        {
            var scale = new SignalScale(request.Range ?? info.Range, pixels.Depth);
            int expected = info.IsStill ? 1 : info.Packets;
            samplers = [];
            for (int n = 0; n < rects.Count; n++)
            {
                bool many = TraceBytes(rects[n].Height, measured, request.Strips, request.Colour) > ManyTraceBytes;
                var plan = new RegionPlan(
                    request.Regions[n], rects[n], frames.Crop, many ? Math.Min(FewStrips, request.Strips) : request.Strips, curve ?? info.Transfer, scale, info.Primaries, expected);
                samplers.Add(
                    pixels.Model == ColourModel.RedGreenBlue ? new RgbSampler(plan, frames.IsWide, request.Colour) :
                    colour ? new ColourSampler(plan, frames.IsWide, pixels, info.Matrix, info.Fields != FieldOrder.Progressive) :
                    new LumaSampler(plan, frames.IsWide));
            }
            return frames;
        }
        catch
        {
            frames.Dispose();
            throw;
        }
    }

    private static void Sample(RawFrames frames, List<RegionSampler> samplers, ClipInfo info, IProgress<DecodeProgress>? progress, CancellationToken cancel)
    {
        int? expected = info.Packets > 0 ? info.Packets : null;
        var sinceReport = Stopwatch.StartNew();
        int done = 0;
        while (frames.NextRows(out int first, out int count))
        {
            foreach (RegionSampler sampler in samplers) sampler.AddRows(frames, first, count);
            if (frames.FramesRead == done) continue;
            done = frames.FramesRead;
            foreach (RegionSampler sampler in samplers) sampler.EndFrame();
            cancel.ThrowIfCancellationRequested();
            if (progress is null || sinceReport.ElapsedMilliseconds < 100) continue;
            progress.Report(new DecodeProgress(done, expected));
            sinceReport.Restart();
        }
        frames.Finish();
        progress?.Report(new DecodeProgress(done, expected));
    }

    private static SampledRegion Assemble(
        ClipInfo info, ClipRequest request, RegionSampler sampler, int frames, FrameTimes times, FieldOrder fields, ReferenceLight? reference)
    {
        RegionPlan plan = sampler.Plan;
        SampledTake Take(TraceMatrix traces, SignalLevel level, RecordingTraits traits, float[][]? off)
        {
            return new SampledTake(
                traces.ToTraces(frames, plan.Coded.Y, info.Height), times, request.UserRate ?? info.Rate ?? FrameRate.OfStill, request.UserRate is not null,
                request.Exposure, request.Readout, fields, level, traits, off);
        }
        SampledTake Channel(ChannelTraces channel, float[][]? off)
        {
            SignalLevel level = channel.Level.ToLevel();
            return Take(channel.Traces, level, TraitsOf(info, sampler, level, 0, frames, channel), off);
        }
        IReadOnlyList<SampledTake>? channels = sampler.Channels.Count == 0 ? null : [.. sampler.Channels.Select((channel, n) => Channel(channel, reference?.Channels.ElementAtOrDefault(n)))];
        SignalLevel brightness = sampler.LevelOver(0, frames);
        SampledTake take = Take(sampler.Traces, brightness, TraitsOf(info, sampler, brightness, 0, frames), reference?.Luma);
        SampledTake PartOf(SampledTake whole, int first, int count, ChannelTraces? channel)
        {
            SampledTake part = TakeCut.Cut(whole, first, count);
            SignalLevel level = sampler.LevelOver(first, count);
            RecordingTraits traits = TraitsOf(info, sampler, level, first, count, channel);
            return part with
            {
                // A channel's own level is only counted over the whole clip.
                Level = channel is null ? level : part.Level,
                Traits = part.Traits with
                {
                    UnchangedShare = traits.UnchangedShare, TemporalNoiseCodes = traits.TemporalNoiseCodes, CodeStepRelative = traits.CodeStepRelative,
                    RoundingNoiseCodes = traits.RoundingNoiseCodes,
                },
            };
        }
        return new SampledRegion(plan.Region, take, channels)
        {
            PartMaker = (first, count) => new SampledRegion(
                plan.Region, PartOf(take, first, count, null), channels?.Select((whole, n) => PartOf(whole, first, count, sampler.Channels[n])).ToList()),
        };
    }

    private static RecordingTraits TraitsOf(ClipInfo info, RegionSampler sampler, SignalLevel level, int firstFrame, int frames, ChannelTraces? channel = null)
    {
        double step = sampler.Plan.Transfer.RelativeStep(level.Mean, sampler.Plan.Scale.LevelPerCode * (channel?.CodesPerStep ?? 1));
        double?[] noise = channel is null ? [] : [.. channel.Differences.Select(d => d.NoiseCodes(firstFrame, frames))];
        bool sizes = info.Packets == frames;
        return new RecordingTraits(
            sampler.Change.UnchangedShare(firstFrame, frames), sampler.Change.NoiseCodes(firstFrame, frames), info.BitsPerPixel,
            double.IsFinite(step) ? step : 1, // at black one step is all the light there is
            info.Codec, info.Lossless)
        {
            BitDepth = info.Pixels.Depth,
            RoundingNoiseCodes = noise.Min(),
            RowsPerSample = channel?.Differences.Count > 0 ? 1 << info.Pixels.DifferenceRowShift : 1,
            UnchangedShareByFrame = sampler.Change.UnchangedByFrame(),
            FrameBytes = sizes ? info.PacketBytes : [],
            IsKeyFrame = sizes ? info.IsKey : [],
        };
    }

    /// <summary>The frames' own flags where most carry one, else what the stream states.</summary>
    private static FieldOrder FieldsOf(ClipInfo info, FrameLog log)
    {
        (int top, int bottom) = log.Fields;
        return info.IsStill ? FieldOrder.Progressive :
            top + bottom <= log.PictureCount / 2 ? info.Fields :
            top >= bottom ? FieldOrder.TopFieldFirst : FieldOrder.BottomFieldFirst;
    }

    private static FrameTimes TimesOf(ClipInfo info, RawFrames frames)
    {
        double[]? seconds =
            info.Seconds is null ? null :
            info.Seconds.Length == frames.FramesRead ? info.Seconds :
            frames.Log.Seconds(frames.FramesRead);
        return new FrameTimes(seconds, info.TickSeconds);
    }

    private static CodedRect ToCoded(Region region, ClipInfo info)
    {
        (int width, int height) = info.DisplayedSize;
        if (region.X < 0 || region.Y < 0 || region.Width < 1 || region.Height < 1 ||
            (long)region.X + region.Width > width || (long)region.Y + region.Height > height)
        {
            throw new InputException(FormattableString.Invariant(
                $"The region {region.X},{region.Y},{region.Width},{region.Height} does not fit into the picture of '{info.FileName}', which is {width} pixels wide and {height} high: choose one inside it."));
        }
        Region coded = info.Orientation.ToCoded(region, info.Width, info.Height);
        return new CodedRect(coded.X, coded.Y, coded.Width, coded.Height);
    }

    private static TransferFunction? CurveOf(ClipRequest request)
    {
        if (request.CubePath is null) return request.Transfer;
        if (request.Transfer is not null) throw new InputException("A named transfer curve and a .cube table were both given: give one of them.");
        return CurveFile.Read(request.CubePath);
    }

    private static float[][] MeanOverTime(RowTraces traces)
    {
        float[][] mean = new float[traces.Strips][];
        for (int strip = 0; strip < traces.Strips; strip++)
        {
            ReadOnlySpan<float> light = traces.Strip(strip);
            mean[strip] = new float[traces.Rows];
            for (int row = 0; row < traces.Rows; row++)
            {
                double sum = 0;
                for (int frame = 0; frame < traces.Frames; frame++) sum += light[frame * traces.Rows + row];
                mean[strip][row] = (float)(sum / traces.Frames);
            }
        }
        return mean;
    }
}
