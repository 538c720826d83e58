using System.Globalization;
using System.Text;
using System.Text.Json;
using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>Asks ffprobe what a clip is, without decoding it, and settles what the measurement needs.</summary>
public static class ClipProbe
{
    private const long LargestPicture = 160_000_000; // pixels; beyond any camera, and a picture has to fit in memory
    private const int LargestAnswer = 1 << 30; // bytes of JSON

    /// <summary>Reads what the file says of itself.</summary>
    /// <param name="path">The clip.</param>
    /// <param name="programs">Which programs to start; null for the usual ones.</param>
    /// <param name="cancel">Ends the child and throws.</param>
    /// <exception cref="ClipException">The file can't be read as a picture or a video.</exception>
    /// <exception cref="ProgramMissingException">ffprobe can't be started.</exception>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public static ClipInfo Probe(string path, DecoderPrograms? programs = null, CancellationToken cancel = default)
    {
        long length = LengthOf(path);
        string? still = StillFormat.DemuxerOf(Head(path));
        using JsonDocument answer = Ask(path, still, programs ?? DecoderPrograms.Default, cancel);
        return Read(answer.RootElement, path, length, still is not null);
    }

    /// <summary>The options that come before -i for ffmpeg and ffprobe alike: local files only, no container that follows references.</summary>
    internal static IEnumerable<string> InputOptions(string? stillDemuxer)
    {
        IEnumerable<string> options = ["-protocol_whitelist", "file", "-format_whitelist", Containers.Whitelist];
        return stillDemuxer is null ? options : options.Concat(["-f", stillDemuxer]);
    }

    /// <summary>First bytes of the file.</summary>
    internal static byte[] Head(string path)
    {
        try
        {
            using FileStream file = File.OpenRead(path);
            byte[] head = new byte[16];
            return head[..file.ReadAtLeast(head, head.Length, throwOnEndOfStream: false)];
        }
        catch (Exception problem) when (problem is UnauthorizedAccessException or IOException)
        {
            throw new ClipException($"'{path}' can't be opened for reading: see whether its permissions or its disk are in order.", problem);
        }
    }

    private static long LengthOf(string path)
    {
        if (Directory.Exists(path)) throw new ClipException($"'{path}' is a folder: name one clip inside it.");
        var file = new FileInfo(path);
        if (!file.Exists) throw new ClipException($"'{path}' is not there: check the name and the folder.");
        if (file.Length == 0) throw new ClipException($"'{path}' is empty (0 bytes): copy it from the camera again.");
        return file.Length;
    }

    private static JsonDocument Ask(string path, string? still, DecoderPrograms programs, CancellationToken cancel)
    {
        var complaints = new List<string>();
        string[] arguments =
        [
            "-v", "error", .. InputOptions(still), "-select_streams", "v", "-show_streams", "-show_format",
            "-show_packets", "-show_entries", "packet=stream_index,pts,dts,size,flags",
            // A still's orientation is only known to its decoder.
            .. still is null ? Array.Empty<string>() : ["-show_frames"],
            "-of", "json=compact=1", "-i", "file:" + path,
        ];
        using ChildProcess child = ChildProcess.Start(programs.Ffprobe, arguments, complaints.Add, programs.Patience, cancel);
        using var text = new MemoryStream();
        byte[] buffer = new byte[1 << 16];
        int read;
        while ((read = child.Read(buffer)) > 0 && text.Length < LargestAnswer) text.Write(buffer, 0, read);
        int? code = child.Finish();
        if (child.Stalled) throw new ClipException($"'{path}' could not be examined: ffprobe gave no answer for {programs.Patience.TotalSeconds:0} s and was ended; copy the file to a local disk and try again.");
        if (code != 0) throw new ClipException(WhyRefused(path, complaints));
        text.Position = 0;
        try
        {
            return JsonDocument.Parse(text);
        }
        catch (JsonException problem)
        {
            throw new ClipException($"'{path}' could not be examined: ffprobe's answer makes no sense; check that ffprobe is version 5.1 or newer.", problem);
        }
    }

    private static string WhyRefused(string path, List<string> complaints)
    {
        string all = string.Join('\n', complaints);
        if (all.Contains("Format not on whitelist", StringComparison.Ordinal))
            return $"'{path}' is a playlist, a script or a stream description that points at other files: name the clip itself.";
        // ffmpeg guesses by the name where the content says nothing: only a file that opens like one of the family can have lost its index.
        if (all.Contains("moov atom not found", StringComparison.Ordinal) && IsOfTheIsoFamily(Head(path)))
            return $"'{path}' breaks off before its index (it was cut short or the camera did not finish it): copy it again or repair it first.";
        return $"'{path}' is not a video or a picture that ffmpeg can read: give a clip as the camera recorded it.";
    }

    /// <summary>Whether the first box is one that MP4 and QuickTime files open with (ISO/IEC 14496-12, and QuickTime's own).</summary>
    private static bool IsOfTheIsoFamily(ReadOnlySpan<byte> head) => head.Length >= 8 && Encoding.ASCII.GetString(head[4..8]) is "ftyp" or "moov" or "mdat" or "free" or "skip" or "wide" or "pnot" or "uuid";

    // Cameras without a set clock, and muxers that know no time, write the epoch of their format (1904, 1970).
    private static DateTimeOffset? RecordedAt(JsonElement part) =>
        part.TryGetProperty("tags", out JsonElement tags) && Text(tags, "creation_time") is { } text &&
        DateTimeOffset.TryParse(text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset time) && time.Year >= 1990
            ? time
            : null;

    private static ClipInfo Read(JsonElement root, string path, long length, bool stillFile)
    {
        JsonElement stream = PickStream(root, path);
        int index = stream.GetProperty("index").GetInt32();
        int width = Number(stream, "width"), height = Number(stream, "height");
        string codec = Text(stream, "codec_name") ?? throw new ClipException($"'{path}' holds video in a code that this ffmpeg does not know: convert it to H.264, HEVC or ProRes without changing its frame rate.");
        if (width <= 0 || height <= 0) throw new ClipException($"'{path}' does not say how large its picture is, so it is damaged or no video: copy it again.");
        if ((long)width * height > LargestPicture) throw new ClipException(FormattableString.Invariant($"'{path}' claims a picture of {width} × {height}, which is larger than any camera's: the file is damaged."));
        string format = Text(stream, "pix_fmt") ?? throw new ClipException($"'{path}' holds no picture that can be decoded: it is cut short or damaged.");
        PixelLayout pixels = PixelLayout.Find(format)
            ?? throw new ClipException($"'{path}' has the pixel format '{format}', whose codes can't be read unaltered: convert it to yuv422p10le or another plain format without changing range or colour.");

        double tick = Rational(Text(stream, "time_base")) ?? 0;
        (double[]? seconds, int[] bytes, bool[] keys) = Packets(root, index, tick);
        bool still = stillFile && bytes.Length <= 1;
        FrameRate? nominal = Rate(stream, "r_frame_rate"), average = Rate(stream, "avg_frame_rate");
        FrameRate? rate = FrameRateChoice.Choose(nominal, average, seconds, tick);
        string? rangeTag = Text(stream, "color_range");
        string? transferTag = Known(Text(stream, "color_transfer"));
        TransferFunction? transfer = ColourTags.Transfer(transferTag);
        string? matrixTag = Known(Text(stream, "color_space")), primariesTag = Known(Text(stream, "color_primaries"));
        double? duration = rate is null || bytes.Length == 0 ? null : bytes.Length * rate.PeriodSeconds;

        return new ClipInfo
        {
            Path = path,
            FileBytes = length,
            Container = Text(root.GetProperty("format"), "format_name") ?? "unknown",
            StreamIndex = index,
            RecordedAt = RecordedAt(root.GetProperty("format")) ?? RecordedAt(stream),
            Codec = codec,
            Profile = Text(stream, "profile"),
            Width = width,
            Height = height,
            Orientation = OrientationOf(stream, root),
            IsStill = still,
            Pixels = pixels,
            Range = rangeTag == "pc" || (rangeTag != "tv" && (pixels.FullRangeByNature || still)) ? SignalRange.Full : SignalRange.Limited,
            RangeAssumed = rangeTag is not ("pc" or "tv") && !pixels.FullRangeByNature && !still,
            Transfer = transfer ?? (still ? TransferFunction.Srgb : TransferFunction.Bt709),
            // Pictures without a tag are sRGB by the habit of every program that writes them; a clip may be anything.
            TransferAssumed = transfer is null && !(still && transferTag is null),
            TransferTag = transferTag,
            PrimariesTag = primariesTag,
            MatrixTag = matrixTag,
            Primaries = ColourTags.Primaries(primariesTag),
            Matrix = ColourTags.Matrix(matrixTag, height),
            NominalRate = nominal,
            AverageRate = average,
            // The library states 25 for every still: that is no fact about the picture.
            Rate = still ? null : rate,
            // H.273 order words of ffmpeg: first letter is the field coded first, second the field displayed first.
            Fields = Text(stream, "field_order") switch { "tt" or "bt" => FieldOrder.TopFieldFirst, "bb" or "tb" => FieldOrder.BottomFieldFirst, _ => FieldOrder.Progressive },
            TickSeconds = tick,
            Seconds = seconds,
            IsKey = keys,
            PacketBytes = bytes,
            BitsPerSecond = still || duration is null ? null : bytes.Sum(size => 8.0 * size) / duration,
        };
    }

    /// <summary>The first video stream that is no cover picture.</summary>
    private static JsonElement PickStream(JsonElement root, string path)
    {
        if (root.TryGetProperty("streams", out JsonElement streams))
        {
            foreach (JsonElement stream in streams.EnumerateArray())
            {
                if (!stream.TryGetProperty("disposition", out JsonElement use) || Number(use, "attached_pic") == 0) return stream;
            }
        }
        bool other = root.TryGetProperty("format", out JsonElement format) && Number(format, "nb_streams") > 0;
        throw new ClipException(other
            ? $"'{path}' holds no video, only sound or other data: give the clip with the picture."
            : $"'{path}' is not a video or a picture that ffmpeg can read: give a clip as the camera recorded it.");
    }

    /// <summary>Display times and coded sizes of the packets that will be shown, in display order, and whether decoding can start at each.</summary>
    private static (double[]? Seconds, int[] Bytes, bool[] Keys) Packets(JsonElement root, int index, double tick)
    {
        var packets = new List<(long? Shown, long? Decoded, int Bytes, bool Key)>();
        if (!root.TryGetProperty("packets", out JsonElement list) && !root.TryGetProperty("packets_and_frames", out list)) return (null, [], []);
        foreach (JsonElement packet in list.EnumerateArray())
        {
            if (Text(packet, "type") is { } type && type != "packet") continue;
            string flags = Text(packet, "flags") ?? "";
            if (Number(packet, "stream_index") != index || flags.Contains('D', StringComparison.Ordinal)) continue;
            packets.Add((Stamp(packet, "pts"), Stamp(packet, "dts"), Number(packet, "size"), flags.Contains('K', StringComparison.Ordinal)));
        }
        bool shown = packets.TrueForAll(packet => packet.Shown is not null);
        // Some containers only keep the order of decoding; its steps are still those of the frame clock.
        bool decoded = packets.TrueForAll(packet => packet.Shown is null && packet.Decoded is not null);
        if (packets.Count == 0 || tick <= 0 || !(shown || decoded)) return (null, [.. packets.Select(packet => packet.Bytes)], []);
        (long Stamp, int Bytes, bool Key)[] inOrder = [.. packets.Select(packet => (Stamp: (shown ? packet.Shown : packet.Decoded)!.Value, packet.Bytes, packet.Key)).OrderBy(packet => packet.Stamp)];
        int[] bytes = [.. inOrder.Select(packet => packet.Bytes)];
        // Rows of equal stamps tell no time.
        if (inOrder.Length > 1 && inOrder[0].Stamp == inOrder[^1].Stamp) return (null, bytes, []);
        return ([.. inOrder.Select(packet => (double)(packet.Stamp - inOrder[0].Stamp) * tick)], bytes, [.. inOrder.Select(packet => packet.Key)]);
    }

    private static Orientation OrientationOf(JsonElement stream, JsonElement root)
    {
        if (Matrix(stream) is { } matrix) return matrix;
        if (!root.TryGetProperty("packets_and_frames", out JsonElement list)) return Orientation.Upright;
        foreach (JsonElement frame in list.EnumerateArray())
        {
            if (Text(frame, "type") != "frame") continue;
            if (frame.TryGetProperty("tags", out JsonElement tags) && Text(tags, "Orientation") is { } tag &&
                int.TryParse(tag.Trim(), NumberStyles.Integer, CultureInfo.InvariantCulture, out int exif)) return Orientation.FromExif(exif);
            if (Matrix(frame) is { } own) return own;
        }
        return Orientation.Upright;
    }

    private static Orientation? Matrix(JsonElement holder)
    {
        if (!holder.TryGetProperty("side_data_list", out JsonElement list)) return null;
        foreach (JsonElement data in list.EnumerateArray())
        {
            if (Text(data, "displaymatrix") is not { } text) continue;
            // Three lines of "offset: a b u"; the last column is perspective, the last line a shift.
            double[][] rows = [.. text.Split('\n', StringSplitOptions.RemoveEmptyEntries)
                .Select(line => line[(line.IndexOf(':', StringComparison.Ordinal) + 1)..].Split(' ', StringSplitOptions.RemoveEmptyEntries)
                    .Select(word => double.TryParse(word, NumberStyles.Integer, CultureInfo.InvariantCulture, out double value) ? value : 0).ToArray())];
            if (rows.Length >= 2 && rows[0].Length >= 2 && rows[1].Length >= 2)
                return Orientation.FromMatrix(rows[0][0], rows[0][1], rows[1][0], rows[1][1]);
        }
        return null;
    }

    private static FrameRate? Rate(JsonElement stream, string name) =>
        Text(stream, name)?.Split('/') is [{ } above, { } below] &&
        long.TryParse(above, NumberStyles.None, CultureInfo.InvariantCulture, out long numerator) &&
        long.TryParse(below, NumberStyles.None, CultureInfo.InvariantCulture, out long denominator) && numerator > 0 && denominator > 0
            ? FrameRate.FromRational(numerator, denominator) : null;

    private static double? Rational(string? text) => text is null ? null : Units.Parsing.Ratio(text);

    private static string? Known(string? tag) => tag is null or "unknown" or "unspecified" or "reserved" ? null : tag;

    private static long? Stamp(JsonElement holder, string name) =>
        holder.TryGetProperty(name, out JsonElement value) && value.ValueKind == JsonValueKind.Number && value.TryGetInt64(out long stamp) ? stamp : null;

    private static string? Text(JsonElement holder, string name) =>
        holder.TryGetProperty(name, out JsonElement value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;

    /// <summary>A whole number that ffprobe may have written as a number or as text; 0 when it is neither.</summary>
    private static int Number(JsonElement holder, string name) =>
        !holder.TryGetProperty(name, out JsonElement value) ? 0 :
        value.ValueKind == JsonValueKind.Number && value.TryGetInt32(out int number) ? number :
        value.ValueKind == JsonValueKind.String && int.TryParse(value.GetString(), NumberStyles.Integer, CultureInfo.InvariantCulture, out int parsed) ? parsed : 0;
}
