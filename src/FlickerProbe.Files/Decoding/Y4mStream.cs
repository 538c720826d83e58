using System.Text.RegularExpressions;

namespace FlickerProbe.Files.Decoding;

/// <summary>Pictures as ffmpeg writes them in YUV4MPEG2: a line about the stream, then before each picture a line of its own.</summary>
/// <remarks>
/// It holds the same bytes as raw video. But its pictures are taken as they lie in the decoder, where raw video is first copied into packets:
/// 3 to 4 % of the time that a clip takes. Layout: ffmpeg's libavformat/yuv4mpegenc.c and the description in mjpegtools' yuv4mpeg(5).
/// </remarks>
internal static partial class Y4mStream
{
    /// <summary>What makes ffmpeg write it; formats beyond 8 bits and luma alone are additions to what was described first, hence "strict".</summary>
    public static IReadOnlyList<string> OutputOptions { get; } = ["-c:v", "wrapped_avframe", "-strict", "-1", "-f", "yuv4mpegpipe"];

    private static ReadOnlySpan<byte> StreamMark => "YUV4M"u8;
    private static ReadOnlySpan<byte> PictureMark => "FRAME"u8;

    /// <summary>Whether pictures of a format can be written so, unaltered.</summary>
    /// <param name="format">ffmpeg's name of the pixel format.</param>
    /// <param name="width">Columns of luma. ffmpeg 5.1 counts those of colour difference wrongly where they are odd, two bytes each and half as many.</param>
    public static bool Holds(string format, int width) => Anywhere().IsMatch(format) || (width % 2 == 0 && WholePairs().IsMatch(format));

    /// <summary>Reads on to where the next picture begins.</summary>
    /// <param name="fill">Fills a buffer; false where the stream ends before.</param>
    /// <returns>False at the end of the stream.</returns>
    /// <exception cref="InvalidDataException">It is no such stream.</exception>
    public static bool ReadToPicture(FillBytes fill)
    {
        Span<byte> mark = stackalloc byte[6];
        if (!fill(mark)) return false;
        if (mark.StartsWith(StreamMark) && !(ReadToEndOfLine(fill, mark[^1]) && fill(mark))) return false;
        if (!mark.StartsWith(PictureMark)) throw new InvalidDataException("A stream of pictures has a line before each of them.");
        return ReadToEndOfLine(fill, mark[^1]);
    }

    private static bool ReadToEndOfLine(FillBytes fill, byte last)
    {
        Span<byte> next = [last];
        while (next[0] != '\n')
        {
            if (!fill(next)) return false;
        }
        return true;
    }

    [GeneratedRegex("^(gray((9|10|12|16)le)?|yuv(j?(420|422|444)|411)p|yuv444p(9|10|12|14|16)le)$")]
    private static partial Regex Anywhere();

    [GeneratedRegex("^yuv(420|422)p(9|10|12|14|16)le$")]
    private static partial Regex WholePairs();
}

/// <summary>Fills a buffer; false where the stream ends before.</summary>
internal delegate bool FillBytes(Span<byte> buffer);
