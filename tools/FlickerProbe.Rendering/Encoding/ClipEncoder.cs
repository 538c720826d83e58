using System.Globalization;
using System.Text;
using FFMpegCore;
using FFMpegCore.Pipes;
using FlickerProbe.Rendering.Camera;

namespace FlickerProbe.Rendering.Encoding;

/// <summary>The encoder refused or failed.</summary>
public sealed class ClipEncodingException : Exception
{
    /// <summary>With the encoder's words.</summary>
    public ClipEncodingException(string message, Exception? inner = null) : base(message, inner) { }
}

/// <summary>Sends painted frames through ffmpeg into a file.</summary>
internal static class ClipEncoder
{
    /// <summary>Clock of files with irregular time stamps, ticks per second: divides 24, 25, 30, 50, 60 and comes within 6 µs of anything.</summary>
    private const int TicksPerSecond = 90_000;

    public static bool IsStill(string path) => Path.GetExtension(path).ToLowerInvariant() is ".png" or ".jpg" or ".jpeg";

    public static void Encode(ClipRecipe recipe, IReadOnlyList<PlannedFrame> plan, FramePainter painter, string path)
    {
        string extension = Path.GetExtension(path).ToLowerInvariant();
        if (extension is not (".mp4" or ".mov" or ".mkv" or ".avi" or ".webm" or ".png" or ".jpg" or ".jpeg"))
            throw new ArgumentException($"'{path}': the name must end in .mp4, .mov, .mkv, .avi, .webm, .png or .jpg.");
        if (recipe.Faults.RotationDegrees != 0 && extension is not (".mp4" or ".mov"))
            throw new ArgumentException($"A rotation tag needs mp4 or mov, not {extension}.");

        if (!IsStill(path) && recipe.Faults.Fields != FieldOrder.Progressive && recipe.Encoding.Codec is ClipCodec.Hevc or ClipCodec.Vp9 or ClipCodec.Mjpeg)
            throw new ArgumentException($"{recipe.Encoding.Codec} is not written interlaced here; H264, Mpeg2, ProRes and Ffv1 are.");

        if (!IsStill(path) && !Holds(recipe.Encoding.Codec, recipe.Layout))
            throw new ArgumentException($"{recipe.Encoding.Codec} does not hold {recipe.Layout.Bits}-bit {recipe.Layout.Chroma}.");

        // FFMpegCore makes one argument string, in which a quote in a file name would end it: work under a name of
        // our own choice, then move.
        string work = Path.Combine(Path.GetTempPath(), $"render-{Guid.NewGuid():N}{extension}");
        StringBuilder said = new();
        FrameSource source = new(recipe, plan, painter);
        try
        {
            FFMpegArguments
                .FromPipeInput(source)
                .OutputToFile(work, true, o => o.WithCustomArgument(string.Join(' ', OutputArguments(recipe, plan, extension))))
                .NotifyOnStandardError(line => said.AppendLine(line))
                .ProcessSynchronously();
            if (recipe.Faults.RotationDegrees != 0) DisplayMatrix.Write(work, recipe.Faults.RotationDegrees);
            File.Move(work, path, true);
        }
        catch (Exception e) when (source.Failure is not null || e is FFMpegCore.Exceptions.FFMpegException or IOException or System.ComponentModel.Win32Exception)
        {
            if (source.Failure is { } own and not IOException) throw new ClipEncodingException($"Painting '{path}' failed: {own.Message}", own);
            string words = said.ToString().Trim();
            throw words.Length == 0
                ? new ClipEncodingException($"'{path}' was not written: ffmpeg could not be started. Is it installed, and on the PATH? ({e.GetBaseException().Message})", e)
                : new ClipEncodingException($"ffmpeg could not write '{path}': {words}", e);
        }
        finally
        {
            File.Delete(work);
        }
    }

    /// <summary>
    /// The recipe with the layout a still must have: PNG holds grey, or RGB made from full-range 4:4:4; JPEG holds
    /// full-range BT.601 by definition (ITU-T T.871).
    /// </summary>
    public static ClipRecipe ForStill(ClipRecipe recipe, string path, bool neutral)
    {
        bool png = Path.GetExtension(path).Equals(".png", StringComparison.OrdinalIgnoreCase);
        return recipe with
        {
            Layout = png
                ? new PixelLayout { FullRange = true, Chroma = neutral ? ChromaSampling.Gray : ChromaSampling.C444 }
                : new PixelLayout { FullRange = true, Chroma = ChromaSampling.C420, Matrix = LumaMatrix.Bt601 },
            ClipSignal = Math.Min(1, recipe.ClipSignal),
            // A number meant for another encoder says nothing about JPEG: 2 is its best.
            Encoding = new ClipEncoding { Codec = ClipCodec.Mjpeg, Quality = recipe.Encoding.Codec == ClipCodec.Mjpeg ? recipe.Encoding.Quality ?? 2 : 2 },
        };
    }

    /// <summary>The name ffmpeg has for the layout; full-range JPEG goes by a name of its own.</summary>
    public static string PixelFormat(PixelLayout layout, bool jpeg = false) => (layout.Chroma, layout.Bits) switch
    {
        (ChromaSampling.Gray, 8) => "gray",
        (ChromaSampling.Gray, _) => $"gray{layout.Bits}le",
        var (chroma, bits) => (jpeg && layout.FullRange ? "yuvj" : "yuv") + chroma switch
        {
            ChromaSampling.C420 => "420p",
            ChromaSampling.C422 => "422p",
            _ => "444p",
        }
        + (bits == 8 ? "" : $"{bits}le"),
    };

    /// <summary>Whether an encoder takes a layout as it is; asked for another, ffmpeg would convert without a word.</summary>
    private static bool Holds(ClipCodec codec, PixelLayout layout) => codec switch
    {
        ClipCodec.H264 => layout.Bits is 8 or 10,
        ClipCodec.ProRes => layout.Bits == 10 && layout.Chroma is (ChromaSampling.C422 or ChromaSampling.C444),
        ClipCodec.Mjpeg => layout.Bits == 8 && layout.Chroma != ChromaSampling.Gray,
        ClipCodec.Mpeg2 => layout.Bits == 8 && !layout.FullRange && layout.Chroma is (ChromaSampling.C420 or ChromaSampling.C422),
        ClipCodec.Vp9 => layout.Chroma != ChromaSampling.Gray,
        _ => true,
    };

    private static List<string> OutputArguments(ClipRecipe recipe, IReadOnlyList<PlannedFrame> plan, string extension)
    {
        ClipEncoding e = recipe.Encoding;
        bool still = IsStill("x" + extension), jpeg = extension is ".jpg" or ".jpeg" || (!still && e.Codec == ClipCodec.Mjpeg);
        List<string> a = ["-hide_banner", "-an", "-sn"];
        List<string> filters = [];
        if (!still && !FramePlan.IsRegular(recipe.Faults)) filters.Add(Stamps(plan));
        if (extension == ".png" && recipe.Layout.Chroma != ChromaSampling.Gray)
            filters.Add("scale=in_color_matrix=bt709:in_range=full:out_range=full:flags=accurate_rnd+full_chroma_int");
        if (recipe.Faults.Fields != FieldOrder.Progressive) filters.Add(recipe.Faults.Fields == FieldOrder.TopFirst ? "setfield=tff" : "setfield=bff");
        if (filters.Count > 0) a.Add($"-vf \"{string.Join(',', filters)}\"");
        if (!still) a.Add("-fps_mode passthrough");
        if (!still)
        {
            // Left alone, ffmpeg guesses the rate, and takes 120000/1001 for 120: name the clock that the stamps count in.
            FrameRate rate = recipe.Faults.ConformedRate ?? recipe.FrameRate;
            bool regular = FramePlan.IsRegular(recipe.Faults);
            a.Add(string.Create(CultureInfo.InvariantCulture, $"-enc_time_base {(regular ? rate.Denominator : 1)}/{(regular ? rate.Numerator : TicksPerSecond)}"));
            if (!regular && extension is ".mp4" or ".mov") a.Add($"-video_track_timescale {TicksPerSecond}");
        }

        if (extension == ".png") return [.. a, "-frames:v 1", "-c:v png", recipe.Layout.Chroma == ChromaSampling.Gray ? "-pix_fmt gray" : "-pix_fmt rgb24"];

        a.Add($"-pix_fmt {PixelFormat(recipe.Layout, jpeg)}");
        if (still) return [.. a, "-frames:v 1", "-c:v mjpeg", "-huffman optimal", Number("-q:v", e.Quality ?? 2), "-strict unofficial"];
        a.AddRange(CodecArguments(recipe));
        if (e.KeyFrameDistance is { } gop) a.Add($"-g {gop}");
        if (e.BFrames is { } b) a.Add($"-bf {b}");
        if (e.WriteColourTags) a.AddRange(ColourTags(recipe));
        if (e.WriteRangeTag) a.Add($"-color_range {(recipe.Layout.FullRange ? "pc" : "tv")}");
        if (extension is ".mp4" or ".mov") a.Add("-movflags +write_colr");
        return a;
    }

    private static List<string> CodecArguments(ClipRecipe recipe)
    {
        ClipEncoding e = recipe.Encoding;
        bool interlaced = recipe.Faults.Fields != FieldOrder.Progressive, top = recipe.Faults.Fields == FieldOrder.TopFirst;
        List<string> a = [];
        switch (e.Codec)
        {
            case ClipCodec.H264:
                a.Add($"-c:v libx264 -preset {e.Preset}");
                a.Add(e.Lossless ? "-qp 0" : Rate("-crf"));
                if (interlaced) a.Add($"-flags +ildct+ilme -x264-params {(top ? "tff=1" : "bff=1")}");
                break;
            case ClipCodec.Hevc:
                a.Add($"-c:v libx265 -preset {e.Preset} -tag:v hvc1");
                a.Add(e.Lossless ? "-x265-params log-level=error:lossless=1" : Rate("-crf") + " -x265-params log-level=error");
                break;
            case ClipCodec.ProRes:
                a.Add("-c:v prores_ks -profile:v " + (recipe.Layout.Chroma == ChromaSampling.C444 ? "4" : "3"));
                if (e.BitsPerSecond is null && e.Quality is { } q) a.Add(Number("-q:v", q));
                if (interlaced) a.Add("-flags +ildct -top " + (top ? "1" : "0"));
                break;
            case ClipCodec.Mjpeg:
                a.Add("-c:v mjpeg -huffman optimal -strict unofficial");
                a.Add(Rate("-q:v"));
                break;
            case ClipCodec.Ffv1:
                a.Add("-c:v ffv1 -level 3 -slices 4");
                if (interlaced) a.Add("-flags +ildct -top " + (top ? "1" : "0"));
                break;
            case ClipCodec.Mpeg2:
                a.Add("-c:v mpeg2video");
                a.Add(Rate("-q:v"));
                if (interlaced) a.Add("-flags +ildct+ilme -top " + (top ? "1" : "0"));
                break;
            case ClipCodec.Vp9:
                a.Add("-c:v libvpx-vp9 -deadline realtime -cpu-used 6");
                a.Add(e.Lossless ? "-lossless 1" : Rate("-crf") + (e.BitsPerSecond is null ? " -b:v 0" : ""));
                break;
            default:
                throw new InvalidOperationException($"No arguments for {e.Codec}.");
        }

        if (e.Lossless && e.Codec is not (ClipCodec.H264 or ClipCodec.Hevc or ClipCodec.Vp9 or ClipCodec.Ffv1))
            throw new ArgumentException($"{e.Codec} has no lossless mode.");
        return a;

        string Rate(string quality) => e.BitsPerSecond is { } bits
            ? $"-b:v {bits.ToString(CultureInfo.InvariantCulture)}"
            : Number(quality, e.Quality ?? (quality == "-crf" ? 18 : 3));
    }

    private static List<string> ColourTags(ClipRecipe recipe)
    {
        string primaries = recipe.Layout.Matrix switch { LumaMatrix.Bt709 => "bt709", LumaMatrix.Bt601 => "smpte170m", _ => "bt2020" };
        string matrix = recipe.Layout.Matrix switch { LumaMatrix.Bt709 => "bt709", LumaMatrix.Bt601 => "smpte170m", _ => "bt2020nc" };
        string? curve = recipe.Curve.Kind switch
        {
            CurveKind.Bt709 => recipe.Layout.Matrix switch
            {
                LumaMatrix.Bt709 => "bt709",
                LumaMatrix.Bt601 => "smpte170m",
                _ => recipe.Layout.Bits == 12 ? "bt2020-12" : "bt2020-10",
            },
            CurveKind.Srgb => "iec61966-2-1",
            CurveKind.Gamma22 => "gamma22",
            CurveKind.Hlg => "arib-std-b67",
            CurveKind.Pq => "smpte2084",
            CurveKind.Linear => "linear",
            _ => null, // no tag exists
        };
        List<string> tags = [$"-color_primaries {primaries}", $"-colorspace {matrix}"];
        if (curve is not null) tags.Add($"-color_trc {curve}");
        return tags;
    }

    /// <summary>A filter that gives frame N its time stamp: a search tree, so that its depth grows as log₂ of the frames.</summary>
    private static string Stamps(IReadOnlyList<PlannedFrame> plan)
    {
        long[] ticks = [.. plan.Select(p => (long)Math.Round(p.StampSeconds * TicksPerSecond))];
        StringBuilder text = new();
        Branch(0, ticks.Length);
        return $"settb=1/{TicksPerSecond},setpts='{text}'";

        void Branch(int from, int to)
        {
            if (to - from == 1)
            {
                text.Append(ticks[from].ToString(CultureInfo.InvariantCulture));
                return;
            }

            int mid = (from + to) / 2;
            text.Append(CultureInfo.InvariantCulture, $"if(lt(N,{mid}),");
            Branch(from, mid);
            text.Append(',');
            Branch(mid, to);
            text.Append(')');
        }
    }

    private static string Number(string option, double value) => string.Create(CultureInfo.InvariantCulture, $"{option} {value:0.###}");

    private sealed class FrameSource(ClipRecipe recipe, IReadOnlyList<PlannedFrame> plan, FramePainter painter) : IPipeSource
    {
        public Exception? Failure { get; private set; }

        public string GetStreamArguments()
        {
            bool jpeg = recipe.Encoding.Codec == ClipCodec.Mjpeg;
            FrameRate rate = recipe.Faults.ConformedRate ?? recipe.FrameRate;
            return $"-f rawvideo -pix_fmt {PixelFormat(recipe.Layout, jpeg)} -video_size {recipe.CodedSize.Width}x{recipe.CodedSize.Height} -framerate {rate} "
                + $"-color_range {(recipe.Layout.FullRange ? "pc" : "tv")}";
        }

        public async Task WriteAsync(Stream outputStream, CancellationToken cancellationToken)
        {
            try
            {
                foreach (PlannedFrame frame in plan)
                {
                    painter.Paint(frame);
                    await outputStream.WriteAsync(painter.Frame, cancellationToken).ConfigureAwait(false);
                }
            }
            catch (Exception e)
            {
                Failure = e;
                throw;
            }
        }
    }
}
