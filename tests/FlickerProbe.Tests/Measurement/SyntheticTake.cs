using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Tests.Measurement;

/// <summary>A clip of known light as row traces, from exact exposure averages (<see cref="LightAnalysis"/>): nothing of the estimator is in it.</summary>
/// <remarks>Row r of frame n, fields likewise, averages the light over the exposure around t = n T + r T_r / H.</remarks>
internal sealed record SyntheticTake
{
    public Waveform Light { get; init; } = new SteadyLight();
    public string Rate { get; init; } = "25";
    public double ExposureSeconds { get; init; } = 1.0 / 1000;
    public double ReadoutSeconds { get; init; } = 0.016;
    public bool KnowsExposure { get; init; } = true;
    public bool KnowsReadout { get; init; } = true;
    public int Frames { get; init; } = 125;
    public int Rows { get; init; } = 96;
    public int FirstRow { get; init; }

    /// <summary>Rows of the whole coded picture; 0: the region is the picture.</summary>
    public int CodedHeight { get; init; }
    public int Strips { get; init; } = 6;

    /// <summary>Standard deviation of a row mean over all strips, relative to the light.</summary>
    public double RowNoise { get; init; } = 0.0007;
    public int Seed { get; init; } = 1;
    public FieldOrder Fields { get; init; } = FieldOrder.Progressive;

    /// <summary>Gain of the camera by time in seconds: automatic exposure.</summary>
    public Func<double, double>? Gain { get; init; }

    /// <summary>The scene's own share of light, by second, strip and row (0…1 down the region): shading, someone walking through.</summary>
    public Func<double, int, double, double>? Scene { get; init; }

    /// <summary>Steady other light, in units of the fixture's mean.</summary>
    public double OtherLight { get; init; }
    public bool WithReference { get; init; }

    /// <summary>Light recorded never exceeds this many times the fixture's mean.</summary>
    public double ClipsAt { get; init; } = double.PositiveInfinity;

    /// <summary>Sensor frame shown at each place of the file; null: one after the other.</summary>
    public int[]? Shown { get; init; }

    /// <summary>Time stamps in frame periods; null: regular.</summary>
    public double[]? Stamps { get; init; }
    public SignalLevel Level { get; init; } = new(0.6, 0.7, 0, 0);

    /// <summary>Linear light of the fixture's mean on the wall, relative to nominal white.</summary>
    private const double MeanLight = 0.4;

    /// <summary>Depth (max − min)/(max + min) of what any exposure of this length records, other light counted in.</summary>
    public double TrueDepth(double exposureSeconds)
    {
        LightAnalysis light = LightAnalysis.Of(Light);
        (double min, double max) = light.OnCameraExtremes(exposureSeconds);
        double other = WithReference ? 0 : OtherLight * light.Mean;
        return (max - min) / (max + min + 2 * other);
    }

    public SampledTake Make()
    {
        FrameRate rate = FrameRate.Parse(Rate);
        int height = CodedHeight == 0 ? Rows : CodedHeight;
        int[] shown = Shown ?? [.. Enumerable.Range(0, Frames)];
        LightAnalysis light = LightAnalysis.Of(Light);
        var normal = new NormalNoise(Seed);
        float[][] strips = [.. Enumerable.Range(0, Strips).Select(_ => new float[shown.Length * Rows])];
        float[] unchanged = new float[shown.Length];
        for (int n = 0; n < shown.Length; n++)
        {
            bool repeated = n > 0 && shown[n] == shown[n - 1];
            unchanged[n] = n == 0 ? float.NaN : repeated ? 1 : (float)(0.2 + 0.01 * normal.Next());
            for (int r = 0; r < Rows; r++)
            {
                double t = (shown[n] + FieldDelay(FirstRow + r)) * rate.PeriodSeconds + (FirstRow + r) * ReadoutSeconds / height;
                double fixture = light.ExposureAverage(t, ExposureSeconds) / light.Mean;
                for (int s = 0; s < Strips; s++)
                {
                    double scene = Scene?.Invoke(t, s, (double)r / Rows) ?? 1;
                    double value = Math.Min(ClipsAt, scene * (fixture + OtherLight)) * (Gain?.Invoke(t) ?? 1) + RowNoise * Math.Sqrt(Strips) * normal.Next();
                    strips[s][n * Rows + r] = repeated ? strips[s][(n - 1) * Rows + r] : (float)(MeanLight * Math.Max(0, value));
                }
            }
        }
        double[] seconds = [.. (Stamps ?? [.. Enumerable.Range(0, shown.Length).Select(n => (double)n)]).Select(f => f * rate.PeriodSeconds)];
        float[][]? reference = WithReference
            ? [.. Enumerable.Range(0, Strips).Select(s => Enumerable.Range(0, Rows).Select(r => (float)(MeanLight * OtherLight * (Scene?.Invoke(0, s, (double)r / Rows) ?? 1))).ToArray())]
            : null;
        return new SampledTake(
            new RowTraces(strips, shown.Length, Rows, FirstRow, height), new FrameTimes(seconds, 1e-5), rate, false,
            KnowsExposure ? ExposureTime.FromSeconds(ExposureSeconds) : null, KnowsReadout ? ReadoutTime.FromSeconds(ReadoutSeconds) : null, Fields, Level,
            new RecordingTraits(0.2, 1.4, 8, 0.017, "ffv1", true) { UnchangedShareByFrame = unchanged }, reference);
    }

    /// <summary>Frames by which the field of this coded row is later than the frame's first field.</summary>
    private double FieldDelay(int codedRow) => Fields switch
    {
        FieldOrder.Progressive => 0,
        FieldOrder.TopFieldFirst => codedRow % 2 * 0.5,
        _ => (1 - codedRow % 2) * 0.5,
    };
}

/// <summary>Standard normal deviates from a seed: Box and Muller, Ann. Math. Stat. 29 (1958).</summary>
internal sealed class NormalNoise(int seed)
{
    private readonly Random _random = new(seed);

    public double Next() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());

    public double Between(double low, double high) => low + (high - low) * _random.NextDouble();
}
