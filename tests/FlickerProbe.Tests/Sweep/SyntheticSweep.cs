using FlickerProbe.Camera;
using FlickerProbe.Footage;

namespace FlickerProbe.Tests.Sweep;

/// <summary>A clip of a stepped dimmer as row traces, with known truth: levels held, faded between, under rippling light.</summary>
internal sealed class SyntheticSweep
{
    public string Rate { get; init; } = "25";
    public double[] Levels { get; init; } = [1, 0.5, 0.25];
    public double[] HoldSeconds { get; init; } = [6, 6, 6];
    public double FadeSeconds { get; init; }

    /// <summary>Linear light at full level.</summary>
    public double Full { get; init; } = 0.4;

    /// <summary>Frequency and amplitude of each ripple of the light.</summary>
    public (double Hz, double Amplitude)[] Ripples { get; init; } = [];
    public double ReadoutSeconds { get; init; } = 0.016;

    /// <summary>Standard deviation of a row mean, relative to nominal white.</summary>
    public double RowNoise { get; init; } = 0.0005;
    public int Seed { get; init; } = 1;
    public Func<double, double>? Disturbance { get; init; }

    /// <summary>True first and last second of each hold.</summary>
    public List<(double From, double To)> Holds { get; } = [];

    public SampledTake Make()
    {
        FrameRate rate = FrameRate.Parse(Rate);
        const int rows = 24;
        double at = 0;
        foreach (double hold in HoldSeconds)
        {
            Holds.Add((at, at + hold));
            at += hold + FadeSeconds;
        }
        double seconds = at - FadeSeconds;
        int frames = (int)(seconds * rate.Hertz);
        float[] trace = new float[frames * rows];
        var random = new Random(Seed);
        for (int n = 0; n < frames; n++)
        {
            for (int r = 0; r < rows; r++)
            {
                double t = n * rate.PeriodSeconds + r * ReadoutSeconds / rows;
                double light = Full * LevelAt(t) * (Disturbance?.Invoke(t) ?? 1);
                double ripple = 1;
                foreach ((double hz, double amplitude) in Ripples) ripple += amplitude * Math.Cos(2 * Math.PI * hz * t + 0.3);
                double noise = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()) * RowNoise;
                trace[n * rows + r] = (float)Math.Max(0, light * ripple + noise);
            }
        }
        double[] times = [.. Enumerable.Range(0, frames).Select(n => n * rate.PeriodSeconds)];
        return new SampledTake(new RowTraces([trace], frames, rows, 0, rows), new FrameTimes(times, 1e-6), rate, false,
            ExposureTime.FromSeconds(0.004), ReadoutTime.FromSeconds(ReadoutSeconds), FieldOrder.Progressive, new SignalLevel(0.5, 0.6, 0, 0),
            new RecordingTraits(0.2, 1.4, 2, 0.017, "ffv1", true)
            {
                FrameBytes = [.. Enumerable.Range(0, frames).Select(n => 1000 + n)],
                UnchangedShareByFrame = [.. Enumerable.Range(0, frames).Select(n => n == 0 ? float.NaN : n / (float)frames)],
            });
    }

    /// <summary>The true dimmer level at a time.</summary>
    public double LevelAt(double t)
    {
        for (int i = 0; i < Levels.Length; i++)
        {
            if (t < Holds[i].To - 1e-9 || i == Levels.Length - 1) return Levels[i];
            double into = t - Holds[i].To;
            if (into < FadeSeconds) return Levels[i] + (Levels[i + 1] - Levels[i]) * into / FadeSeconds;
        }
        return Levels[^1];
    }
}
