namespace FlickerProbe.Footage;

/// <summary>Takes part of a take's frames as a take of its own.</summary>
public static class TakeCut
{
    /// <summary>Frames [firstFrame, firstFrame + count) of a take.</summary>
    /// <remarks>
    /// The signal level and the noise figures of <see cref="SampledTake.Level"/> and <see cref="SampledTake.Traits"/> are those of the whole clip,
    /// because the traces do not hold what they are made from; sampling the part from the file gives its own.
    /// </remarks>
    /// <exception cref="ArgumentOutOfRangeException">The frames are not inside the take.</exception>
    public static SampledTake Cut(SampledTake take, int firstFrame, int count)
    {
        RowTraces traces = take.Traces;
        ArgumentOutOfRangeException.ThrowIfNegative(firstFrame);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(count);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(firstFrame + count, traces.Frames, nameof(count));

        float[][] strips = new float[traces.Strips][];
        for (int s = 0; s < strips.Length; s++) strips[s] = traces.Strip(s).Slice(firstFrame * traces.Rows, count * traces.Rows).ToArray();
        float[] unchanged = Part(take.Traits.UnchangedShareByFrame, firstFrame, count, traces.Frames);
        int[] bytes = Part(take.Traits.FrameBytes, firstFrame, count, traces.Frames);
        if (unchanged.Length > 0) unchanged[0] = float.NaN; // the frame before is not in this take

        return take with
        {
            Traces = new RowTraces(strips, count, traces.Rows, traces.FirstCodedRow, traces.CodedHeight),
            Times = take.Times with { Seconds = Shift(take.Times.Seconds, firstFrame, count) },
            Traits = take.Traits with
            {
                UnchangedShareByFrame = unchanged,
                FrameBytes = bytes,
                IsKeyFrame = Part(take.Traits.IsKeyFrame, firstFrame, count, traces.Frames),
                UnchangedShare = MeanUnchanged(unchanged) ?? take.Traits.UnchangedShare,
                BitsPerPixel = take.Traits.BitsPerPixel * Share(take.Traits.FrameBytes, bytes),
            },
        };
    }

    private static T[] Part<T>(T[] all, int first, int count, int frames) => all.Length == frames ? all[first..(first + count)] : [];

    private static double[]? Shift(double[]? seconds, int first, int count)
    {
        if (seconds is null || seconds.Length < first + count) return null;
        double[] part = seconds[first..(first + count)];
        double start = part[0];
        for (int i = 0; i < part.Length; i++) part[i] -= start;
        return part;
    }

    // A frame that equals the one before in every pixel was shown twice and says nothing about the encoder.
    private static double? MeanUnchanged(float[] unchanged)
    {
        double[] honest = [.. unchanged.Where(u => !float.IsNaN(u) && u < 0.99999f).Select(u => (double)u)];
        return honest.Length == 0 ? null : honest.Average();
    }

    private static double Share(int[] whole, int[] part)
    {
        double mean = whole.Length == 0 ? 0 : whole.Average();
        return part.Length == 0 || mean <= 0 ? 1 : part.Average() / mean;
    }
}
