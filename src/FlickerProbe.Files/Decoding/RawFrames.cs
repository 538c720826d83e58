using System.Globalization;
using System.Runtime.InteropServices;

namespace FlickerProbe.Files.Decoding;

/// <summary>Pictures of a clip as the decoder made them, code by code, read through a pipe into one buffer that is used again and again.</summary>
/// <remarks>
/// ffmpeg converts silently wherever formats differ, so nothing here asks for another format than the clip's own: either its luma plane by
/// extractplanes, or all its planes. Cropping copies nothing and comes first, so that only what is wanted is extracted; without exact=1, or
/// where all planes are kept and the rectangle is off whole colour-difference samples, ffmpeg rounds it without a word.
/// Every picture is passed on once (no frames repeated or dropped to suit a rate), not rotated.
/// </remarks>
internal sealed class RawFrames : IDisposable
{
    private const int BiteBytes = 1 << 17;

    // ffmpeg alone takes one more than there are processors. While it writes to the pipe, and while we hold a processor, frames in hand keep the
    // rest at work: about a twentieth of the time. Beyond 16 it warns.
    private static readonly string DecoderThreads = Math.Min(16, 2 * Environment.ProcessorCount + 2).ToString(CultureInfo.InvariantCulture);

    private readonly ClipInfo _info;
    private readonly DecoderPrograms _programs;
    private readonly ChildProcess _child;
    private readonly byte[] _buffer;
    private readonly int _frameBytes;
    private readonly ChannelPlace[] _channels;
    private readonly int[] _planeStart;
    private readonly int[] _planeRowSamples;
    private readonly byte[][] _byteScratch;
    private readonly ushort[][] _wordScratch;
    private readonly int _rowsAtOnce;
    private readonly bool _headed;
    private int _firstRow, _rowsGiven;

    private RawFrames(ClipInfo info, CodedRect crop, bool lumaOnly, bool wholeFrames, bool headed, DecoderPrograms programs, FrameLog log, ChildProcess child)
    {
        _headed = headed;
        _info = info;
        _programs = programs;
        _child = child;
        Log = log;
        Crop = crop;
        PixelLayout pixels = info.Pixels;
        bool plane = lumaOnly && pixels.LumaPlaneCanBeExtracted;
        _channels = plane ? [new(0, 0, 1)] : [.. pixels.Channels];
        int planes = plane ? 1 : pixels.PlaneSamplesPerPixel.Count;
        _planeStart = new int[planes];
        _planeRowSamples = new int[planes];
        long size = 0;
        for (int p = 0; p < planes; p++)
        {
            bool difference = p is 1 or 2 && pixels.Model == ColourModel.LumaAndDifference;
            int columns = difference ? Shrunk(crop.Width, pixels.DifferenceColumnShift) : crop.Width;
            int rows = difference ? Shrunk(crop.Height, pixels.DifferenceRowShift) : crop.Height;
            // Packed 4:2:2 stores whole pairs of pixels.
            if (p == 0 && planes == 1 && pixels.PlaneSamplesPerPixel[0] == 2 && pixels.DifferenceColumnShift == 1 && !plane) columns += columns & 1;
            _planeStart[p] = checked((int)size);
            _planeRowSamples[p] = columns * (plane ? 1 : pixels.PlaneSamplesPerPixel[p]);
            size += (long)_planeRowSamples[p] * rows * pixels.SampleBytes;
        }
        // Small bites that are used up while they are still in the processor's cache; the next one takes their place, so that a large picture
        // does not wander through the memory once more. Planes that follow one another must be there together.
        int rowBytes = checked((int)size) / crop.Height;
        _rowsAtOnce = wholeFrames || planes > 1 ? crop.Height : Math.Clamp(BiteBytes / rowBytes, 1, crop.Height);
        _buffer = new byte[_rowsAtOnce == crop.Height ? (int)size : _rowsAtOnce * rowBytes];
        _frameBytes = (int)size;
        _byteScratch = [.. _channels.Select(_ => new byte[crop.Width])];
        _wordScratch = [.. _channels.Select(_ => pixels.SampleBytes == 2 ? new ushort[crop.Width] : [])];
    }

    /// <summary>The rectangle of the coded picture that is read; may be larger than asked for.</summary>
    public CodedRect Crop { get; }

    /// <summary>What ffmpeg says.</summary>
    public FrameLog Log { get; }

    /// <summary>Whole pictures read so far.</summary>
    public int FramesRead { get; private set; }

    /// <summary>Whether codes take two bytes.</summary>
    public bool IsWide => _info.Pixels.SampleBytes == 2;

    /// <summary>Starts decoding.</summary>
    /// <param name="info">The clip.</param>
    /// <param name="wanted">Rectangle of the coded picture.</param>
    /// <param name="lumaOnly">Whether channel 0 of a luma format is all that is needed.</param>
    /// <param name="everyNth">Take one picture of so many.</param>
    /// <param name="wholeFrames">Whether all rows of a picture are wanted at once and not a few at a time.</param>
    /// <param name="programs">Which programs to start.</param>
    /// <param name="cancel">Ends the child.</param>
    /// <param name="part">Only a few pictures from about a moment on; null for the whole clip.</param>
    public static RawFrames Open(
        ClipInfo info, CodedRect wanted, bool lumaOnly, int everyNth, bool wholeFrames, DecoderPrograms programs, CancellationToken cancel, ClipPart? part = null)
    {
        PixelLayout pixels = info.Pixels;
        bool plane = lumaOnly && pixels.LumaPlaneCanBeExtracted;
        CodedRect crop = plane ? wanted : wanted.OnWholeDifferenceSamples(pixels, info.Width, info.Height);
        var filters = new List<string> { "showinfo=checksum=0" };
        if (everyNth > 1) filters.Add(string.Create(CultureInfo.InvariantCulture, $"select=not(mod(n\\,{everyNth}))"));
        if (crop.Width != info.Width || crop.Height != info.Height)
            filters.Add(string.Create(CultureInfo.InvariantCulture, $"crop={crop.Width}:{crop.Height}:{crop.X}:{crop.Y}:exact=1"));
        if (plane) filters.Add("extractplanes=y");
        string format = plane ? pixels.LumaName : pixels.RawName;
        bool headed = Y4mStream.Holds(format, crop.Width);
        string[] arguments =
        [
            "-hide_banner", "-nostdin", "-nostats", "-loglevel", "level+info", "-noautorotate", "-threads", DecoderThreads,
            .. ClipProbe.InputOptions(info.IsStill ? StillFormat.DemuxerOf(ClipProbe.Head(info.Path)) : null),
            .. part is { FromSeconds: > 0 } ? [part.Exact ? "-accurate_seek" : "-noaccurate_seek", "-ss", part.FromSeconds.ToString("0.###", CultureInfo.InvariantCulture)] : Array.Empty<string>(),
            "-i", "file:" + info.Path, "-map", string.Create(CultureInfo.InvariantCulture, $"0:{info.StreamIndex}"), "-an", "-sn", "-dn",
            .. part is null ? Array.Empty<string>() : ["-frames:v", part.Frames.ToString(CultureInfo.InvariantCulture)],
            "-vf", string.Join(',', filters), "-pix_fmt", format, "-fps_mode", "passthrough",
            .. headed ? Y4mStream.OutputOptions : ["-f", "rawvideo"], "pipe:1",
        ];
        var log = new FrameLog(info.Width, info.Height, pixels.Name);
        ChildProcess child = ChildProcess.Start(programs.Ffmpeg, arguments, log.Add, programs.Patience, cancel);
        try
        {
            return new RawFrames(info, crop, lumaOnly, wholeFrames, headed, programs, log, child);
        }
        catch
        {
            child.Dispose();
            throw;
        }
    }

    /// <summary>Reads the next rows of the present picture and tells which they are; those before are gone. Where planes follow one another, or
    /// whole pictures were asked for, that is all rows at once.</summary>
    /// <returns>False at the end of the clip; a picture that broke off is dropped.</returns>
    public bool NextRows(out int first, out int count)
    {
        if (_rowsGiven == Crop.Height) _rowsGiven = 0;
        first = _firstRow = _rowsGiven;
        count = Math.Min(_rowsAtOnce, Crop.Height - first);
        bool begun = first > 0 || !_headed || ReadToPicture();
        if (!begun || !_child.Fill(_buffer.AsSpan(0, count == Crop.Height ? _frameBytes : count * (_frameBytes / Crop.Height))))
        {
            count = 0;
            return false;
        }
        _rowsGiven = first + count;
        if (_rowsGiven == Crop.Height)
        {
            FramesRead++;
            if (Log.Change is { } change)
                throw new ClipException($"'{_info.Path}' changes its picture {change} part of the way through: cut it there and measure one part.");
        }
        return true;
    }

    private bool ReadToPicture()
    {
        try
        {
            return Y4mStream.ReadToPicture(_child.Fill);
        }
        catch (InvalidDataException cause)
        {
            throw new ClipException($"'{_info.Path}' could not be decoded: ffmpeg wrote something else than pictures; use ffmpeg 5.1 or later.", cause);
        }
    }

    /// <summary>Reads a whole picture.</summary>
    public bool NextFrame()
    {
        do
        {
            if (!NextRows(out _, out _)) return false;
        }
        while (_rowsGiven < Crop.Height);
        return true;
    }

    /// <summary>One row of one channel, 8-bit codes, among those read last; valid until the next call for the same channel.</summary>
    public ReadOnlySpan<byte> ByteRow(int channel, int row)
    {
        ChannelPlace place = _channels[channel];
        int samples = _planeRowSamples[place.Plane];
        ReadOnlySpan<byte> stored = _buffer.AsSpan(_planeStart[place.Plane] + (row - _firstRow) * samples, samples);
        if (place.Stride == 1) return stored;
        return SampleUnpacking.Bytes(stored, place, _byteScratch[channel]);
    }

    /// <summary>One row of one channel, codes of more than 8 bits, among those read last; valid until the next call for the same channel.</summary>
    public ReadOnlySpan<ushort> WordRow(int channel, int row)
    {
        ChannelPlace place = _channels[channel];
        int samples = _planeRowSamples[place.Plane];
        ReadOnlySpan<ushort> stored = MemoryMarshal.Cast<byte, ushort>(_buffer.AsSpan(_planeStart[place.Plane] + (row - _firstRow) * samples * 2, samples * 2));
        bool swap = _info.Pixels.BigEndian == BitConverter.IsLittleEndian;
        if (place is { Stride: 1, Shift: 0 } && !swap) return stored;
        return SampleUnpacking.Words(stored, place, swap, _wordScratch[channel]);
    }

    /// <summary>Ends the reading and judges how it ended.</summary>
    /// <exception cref="ClipException">Nothing was decoded, or the child had to be ended.</exception>
    public void Finish()
    {
        int? code = _child.Finish();
        if (_child.Stalled)
            throw new ClipException($"'{_info.Path}' could not be decoded: ffmpeg gave nothing for {_programs.Patience.TotalSeconds:0} s and was ended; copy the file to a local disk and try again.");
        if (Log.Change is { } change)
            throw new ClipException($"'{_info.Path}' changes its picture {change} part of the way through: cut it there and measure one part.");
        if (FramesRead == 0)
            throw new ClipException($"'{_info.Path}' gives no picture: it is damaged, cut short or uses a code that this ffmpeg can't decode.");
        EndedBadly = code != 0;
    }

    /// <summary>Whether ffmpeg itself called the run a failure although pictures came.</summary>
    public bool EndedBadly { get; private set; }

    public void Dispose() => _child.Dispose();

    private static int Shrunk(int length, int shift) => (length + (1 << shift) - 1) >> shift;
}

/// <summary>A few pictures of a clip.</summary>
/// <param name="FromSeconds">Where they begin, seconds from the clip's start.</param>
/// <param name="Frames">How many at most.</param>
/// <param name="Exact">Whether they begin there exactly; else where the decoder can start near by, which costs least.</param>
public sealed record ClipPart(double FromSeconds, int Frames, bool Exact = false);
