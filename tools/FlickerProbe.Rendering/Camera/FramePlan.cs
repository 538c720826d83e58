namespace FlickerProbe.Rendering.Camera;

/// <summary>One frame of the file: which sensor frame it shows and when it says it was.</summary>
/// <param name="SensorFrame">Counted from 0.</param>
/// <param name="SensorSeconds">Middle of the exposure of row 0, s after that of sensor frame 0.</param>
/// <param name="StampSeconds">Presentation time asked for, s.</param>
public sealed record PlannedFrame(int SensorFrame, double SensorSeconds, double StampSeconds);

/// <summary>Turns the faults of time into a list of frames.</summary>
public static class FramePlan
{
    /// <summary>The frames of the file, in order.</summary>
    public static IReadOnlyList<PlannedFrame> Of(ClipRecipe recipe)
    {
        ClipFaults f = recipe.Faults;
        double[] sensor = SensorTimes(recipe);
        Randomness random = Randomness.For(recipe.Seed, 3);
        bool restamped = f.RestampRegular || f.ConformedRate is not null;
        FrameRate fileRate = f.ConformedRate ?? recipe.FrameRate;
        HashSet<int> dropped = [.. f.DroppedFrames], repeated = [.. f.RepeatedFrames];
        List<PlannedFrame> frames = [];
        for (int n = 0; n < recipe.Frames; n++)
        {
            double jitter = f.TimestampJitterSeconds > 0 ? f.TimestampJitterSeconds * random.NextGaussian() : 0;
            if (dropped.Contains(n)) continue;
            int shown = n > 0 && repeated.Contains(n - 1) ? n - 1 : n;
            double limit = 0.45 / recipe.FrameRate.FramesPerSecond;
            double stamp = restamped ? fileRate.StartOf(frames.Count) : sensor[n] + Math.Clamp(jitter, -limit, limit);
            frames.Add(new PlannedFrame(shown, sensor[shown], stamp));
        }

        if (frames.Count == 0) throw new ArgumentException("Every frame is dropped: no clip is left.");
        // A file starts at zero.
        double first = frames[0].StampSeconds;
        return [.. frames.Select(p => p with { StampSeconds = p.StampSeconds - first })];
    }

    /// <summary>Whether the time stamps are those of a constant rate, so that the container's own clock does.</summary>
    public static bool IsRegular(ClipFaults faults) =>
        faults.ConformedRate is not null || faults.RestampRegular
        || (faults.TimestampJitterSeconds == 0 && faults.RateSteps.Count == 0 && faults.DroppedFrames.Count == 0);

    private static double[] SensorTimes(ClipRecipe recipe)
    {
        double[] times = new double[recipe.Frames];
        FrameRate rate = recipe.FrameRate;
        int from = 0;
        double start = 0;
        for (int n = 0; n < times.Length; n++)
        {
            times[n] = start + rate.StartOf(n - from);
            foreach (RateStep step in recipe.Faults.RateSteps)
            {
                if (step.FromFrame != n) continue;
                start = times[n];
                from = n;
                rate = step.FrameRate;
            }
        }

        return times;
    }
}
