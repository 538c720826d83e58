using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Picture;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Reads what the modulation map is made of: some frames in a row, whole picture, summed up in strips.</summary>
/// <remarks>Only for reports: the measurement itself reads the clip once and its regions alone.</remarks>
internal static class MapFrames
{
    /// <summary>Frames that are read: at 30 frames/s tones apart by a quarter of a hertz are told apart.</summary>
    public const int MostFrames = 120;

    private const int Strips = 32, NarrowestStrip = 4, MostRows = 1200;

    /// <summary>The strips; null when there are too few frames for a map.</summary>
    /// <exception cref="ClipException">Nothing could be decoded.</exception>
    public static StripLight? Read(ClipInfo info, TransferFunction? transfer, SignalRange? range, FrameRate? rate, int firstFrame, int frameCount, CancellationToken cancellation)
    {
        if (info.IsStill || rate is null || frameCount < 8) return null;
        int step = (info.Height + MostRows - 1) / MostRows, strips = Math.Clamp(info.Width / NarrowestStrip, 1, Strips);
        // Fields must stay apart.
        if (info.Fields != FieldOrder.Progressive && step > 1) step |= 1;
        int rows = info.Height / step;
        double from = firstFrame > 0 && info.Seconds is { } seconds && firstFrame < seconds.Length ? seconds[firstFrame] : 0;
        var light = new List<float[]>();
        float[] line = new float[info.Width];
        using (FrameStream frames = FrameStream.Open(info, 1, transfer, range, null, new ClipPart(from, Math.Min(frameCount, MostFrames), Exact: true), cancel: cancellation))
        {
            while (frames.Next())
            {
                float[] sums = new float[rows * strips];
                for (int row = 0; row < rows; row++)
                {
                    frames.Light(row * step, line);
                    for (int strip = 0; strip < strips; strip++)
                    {
                        int left = strip * info.Width / strips, right = (strip + 1) * info.Width / strips;
                        float sum = 0;
                        foreach (float pixel in line.AsSpan(left, right - left)) sum += pixel;
                        sums[row * strips + strip] = sum / (right - left);
                    }
                }
                light.Add(sums);
                cancellation.ThrowIfCancellationRequested();
            }
        }
        if (light.Count < 8) return null;
        // The clip's own clock where it has one: frames that were dropped leave a gap in it.
        double[] times = [.. Enumerable.Range(0, light.Count).Select(n =>
            info.Seconds is { } own && info.Rate == rate && firstFrame + n < own.Length ? own[firstFrame + n] - own[firstFrame] : n * rate.PeriodSeconds)];
        return info.Fields == FieldOrder.Progressive
            ? new StripLight([.. light], strips, rows, times)
            : new StripLight([.. light], strips, rows, times, rate.PeriodSeconds / 2, info.Fields == FieldOrder.TopFieldFirst ? 1 : 0);
    }
}
