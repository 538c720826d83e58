using System.Globalization;
using FlickerProbe.Footage;

namespace FlickerProbe.Files.Decoding;

/// <summary>Fetches one frame of a clip for a report: from about the middle, the way it is displayed.</summary>
public static class StillPicture
{
    /// <summary>Largest width of the picture, pixels.</summary>
    public const int LargestWidth = 960;

    /// <summary>The frame as PNG; null when ffmpeg can't give one.</summary>
    /// <param name="info">The clip.</param>
    /// <param name="programs">Which programs to start; null for the usual ones.</param>
    /// <param name="cancel">Ends the child.</param>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public static byte[]? Fetch(ClipInfo info, DecoderPrograms? programs = null, CancellationToken cancel = default) =>
        Fetch(info, info.Seconds is { Length: > 2 } seconds ? seconds[^1] / 2 : 0, programs ?? DecoderPrograms.Default, cancel)
        ?? Fetch(info, 0, programs ?? DecoderPrograms.Default, cancel);

    private static byte[]? Fetch(ClipInfo info, double at, DecoderPrograms programs, CancellationToken cancel)
    {
        string[] arguments =
        [
            "-hide_banner", "-nostdin", "-nostats", "-loglevel", "error", "-threads", "1", "-noautorotate",
            .. ClipProbe.InputOptions(info.IsStill ? StillFormat.DemuxerOf(ClipProbe.Head(info.Path)) : null),
            // Any frame near the middle will do: the one the decoder can start at costs least.
            .. at > 0 ? ["-noaccurate_seek", "-ss", at.ToString("0.###", CultureInfo.InvariantCulture)] : Array.Empty<string>(),
            "-i", "file:" + info.Path, "-map", string.Create(CultureInfo.InvariantCulture, $"0:{info.StreamIndex}"), "-an", "-sn", "-dn",
            "-frames:v", "1", "-vf", string.Join(',', Filters(info)), "-c:v", "png", "-f", "image2pipe", "pipe:1",
        ];
        using ChildProcess child = ChildProcess.Start(programs.Ffmpeg, arguments, _ => { }, programs.Patience, cancel);
        using var picture = new MemoryStream();
        byte[] buffer = new byte[1 << 16];
        int read;
        while ((read = child.Read(buffer)) > 0) picture.Write(buffer, 0, read);
        return child.Finish() == 0 && picture.Length > 0 ? picture.ToArray() : null;
    }

    private static IEnumerable<string> Filters(ClipInfo info)
    {
        (int width, int height) = info.DisplayedSize;
        Orientation turn = info.Orientation;
        // Scaled first, in coded directions: turning the small picture is cheap.
        double shrink = Math.Min(1, (double)LargestWidth / width);
        int columns = Math.Max(1, (int)Math.Round(info.Width * shrink)), rows = Math.Max(1, (int)Math.Round(info.Height * shrink));
        yield return string.Create(CultureInfo.InvariantCulture, $"scale={columns}:{rows}");
        yield return "format=rgb24";
        if (turn.SwapsAxes)
        {
            yield return "transpose=0"; // the plain transpose: displayed x is coded y and the other way round
            if (turn.XFromY < 0) yield return "hflip";
            if (turn.YFromX < 0) yield return "vflip";
        }
        else
        {
            if (turn.XFromX < 0) yield return "hflip";
            if (turn.YFromY < 0) yield return "vflip";
        }
    }
}
