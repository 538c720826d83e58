using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Light matrices of any shape, filled from a formula.</summary>
internal static class Planes
{
    /// <summary>The matrix of light(frame, coded row); frames in <paramref name="missing"/> were dropped.</summary>
    public static LightMatrix Of(
        int frames, int rows, Func<int, int, double> light, IReadOnlyCollection<int>? missing = null,
        FieldOrder fields = FieldOrder.Progressive, int firstRow = 0, int strips = 1)
    {
        int[] kept = [.. Enumerable.Range(0, frames).Where(n => missing is null || !missing.Contains(n))];
        float[][] traces = [.. Enumerable.Range(0, strips).Select(_ => kept.SelectMany(n => Enumerable.Range(0, rows).Select(r => (float)light(n, firstRow + r))).ToArray())];
        var take = new SampledTake(
            new RowTraces(traces, kept.Length, rows, firstRow, firstRow + rows), new FrameTimes([.. kept.Select(n => n / 25.0)], 1e-6),
            FrameRate.FromRational(25, 1), false, null, null, fields, new SignalLevel(0.6, 0.7, 0, 0), new RecordingTraits(0.2, 1.4, 8, 0.017, "ffv1", true));
        SensorClock clock = SensorClock.Recover(take.Times, kept.Length, take.Rate, false, []);
        return LightMatrix.Build(take, clock);
    }

    /// <summary>Normal deviates in the shape of a matrix; missing ticks stay 0, as in a residual.</summary>
    public static float[] Noise(LightMatrix matrix, int seed)
    {
        var normal = new NormalNoise(seed);
        float[] plane = new float[matrix.Ticks * matrix.Lines];
        for (int i = 0; i < plane.Length; i++) plane[i] = matrix.Present[i / matrix.Lines] ? (float)normal.Next() : 0;
        return plane;
    }
}
