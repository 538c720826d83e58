using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FsCheck;
using FsCheck.Fluent;

namespace FlickerProbe.Tests.Properties;

/// <summary>One rippling light before one camera, as the row traces that a lossless clip of it would give.</summary>
/// <remarks>Written from the measurement model alone: row r of frame n integrates the light over the exposure around n T + r t_row.</remarks>
internal sealed record Scene
{
    public const int Rows = 48, Strips = 4;

    /// <summary>Frames of every scene unless asked for otherwise.</summary>
    public const int Frames = 60;

    public required FrameRate Rate { get; init; }
    public required double Hz { get; init; }

    /// <summary>Amplitude of the light itself, relative to its mean.</summary>
    public required double Amplitude { get; init; }

    /// <summary>Phase at the middle of the first row's exposure, radians.</summary>
    public required double Phase { get; init; }
    public required double ExposureSeconds { get; init; }

    /// <summary>Signed, over all rows.</summary>
    public required double ReadoutSeconds { get; init; }
    public required int NoiseSeed { get; init; }

    /// <summary>Mean linear light at the brightest place.</summary>
    public double Level { get; init; } = 0.4;

    /// <summary>Steady light on top, same unit as <see cref="Level"/>.</summary>
    public double SteadyLight { get; init; }

    /// <summary>Amplitude that reaches the camera: a |G|, before steady light dilutes it.</summary>
    public double OnCamera => Amplitude * Math.Abs(Math.Sin(Math.PI * Hz * ExposureSeconds) / (Math.PI * Hz * ExposureSeconds));

    /// <summary>Bands in the picture.</summary>
    public double Bands => Hz * Math.Abs(ReadoutSeconds);

    /// <summary>Scenes whose ripple is plain: neither locked nor nearly locked, its bands wider than two rows. There the estimator must find it.</summary>
    public static Gen<Scene> Any { get; } = Rippling.Where(scene => scene.Bands < 0.45 * Rows);

    /// <summary>Scenes whose bands are about as fine as the rows, or finer: the rows fold them, and the frequency is open. At least 0.3 % on
    /// camera: the estimator takes fainter tones for what they look like, since no verdict hangs on them.</summary>
    public static Gen<Scene> Fine { get; } = Rippling.Select(scene => scene with { Hz = scene.Hz * 5 })
        .Where(scene => scene.Bands > 0.45 * Rows && scene.OnCamera > 0.003 && Moves(scene.Hz, scene.Rate));

    private static bool Moves(double hz, FrameRate rate) => Math.Abs(AliasFrequency.Of(hz, rate)) is var alias && alias > 1.5 && alias < rate.Hertz / 2 - 1.5;

    private static Gen<Scene> Rippling =>
        from rate in Gen.Elements("24", "25", "30000/1001", "50", "60000/1001").Select(FrameRate.Parse)
        from hz in Inventions.Between(90, 900)
        where Moves(hz, rate)
        from amplitude in Inventions.Between(0.05, 0.5)
        from phase in Inventions.Between(-Math.PI, Math.PI)
        from reciprocal in Gen.Elements(2000.0, 1000, 500)
        from readout in Inventions.Between(0.3, 0.95)
        from sign in Gen.Elements(1, 1, 1, -1)
        from seed in Gen.Choose(1, 1_000_000)
        select new Scene
        {
            Rate = rate, Hz = hz, Amplitude = amplitude, Phase = phase, ExposureSeconds = 1 / reciprocal,
            ReadoutSeconds = sign * readout * rate.PeriodSeconds, NoiseSeed = seed,
        };

    /// <summary>The traces, the stated settings being the true ones.</summary>
    public SampledTake Take(int frames = Frames, double timesFrom = 0)
    {
        float[][] strips = new float[Strips][];
        var random = new Random(NoiseSeed);
        double gain = Math.Sin(Math.PI * Hz * ExposureSeconds) / (Math.PI * Hz * ExposureSeconds);
        for (int s = 0; s < Strips; s++)
        {
            strips[s] = new float[frames * Rows];
            for (int n = 0; n < frames; n++)
            {
                for (int r = 0; r < Rows; r++)
                {
                    double t = n * Rate.PeriodSeconds + r * ReadoutSeconds / Rows;
                    double light = Level * (1 + Amplitude * gain * Math.Cos(2 * Math.PI * Hz * t + Phase)) + SteadyLight;
                    double shading = (1 - 0.1 * s) * (1 - 0.2 * Math.Pow((r - Rows / 2.0) / Rows, 2));
                    double noise = 2e-4 * (random.NextDouble() + random.NextDouble() - 1);
                    strips[s][n * Rows + r] = (float)(light * shading + noise);
                }
            }
        }
        double[] times = [.. Enumerable.Range(0, frames).Select(n => timesFrom + n * Rate.PeriodSeconds)];
        return new SampledTake(
            new RowTraces(strips, frames, Rows, 0, Rows), new FrameTimes(times, 1e-6), Rate, false,
            ExposureTime.FromSeconds(ExposureSeconds), ReadoutTime.FromSeconds(ReadoutSeconds), FieldOrder.Progressive,
            new SignalLevel(0.6, 0.7, 0, 0), new RecordingTraits(0.05, 1.4, null, 0.017, "ffv1", true));
    }

    /// <summary>The same take with its strips replaced.</summary>
    public static SampledTake With(SampledTake take, Func<float[][], float[][]> change)
    {
        RowTraces t = take.Traces;
        float[][] strips = change([.. Enumerable.Range(0, t.Strips).Select(s => t.Strip(s).ToArray())]);
        return take with { Traces = new RowTraces(strips, t.Frames, t.Rows, t.FirstCodedRow, t.CodedHeight) };
    }

    public static TakeMeasurement Measured(SampledTake take) => TakeEstimator.Measure(take, new EstimatorOptions(WithExhibit: false), CancellationToken.None);
}

/// <summary>A scene of <see cref="Scene.Fine"/>.</summary>
internal sealed record FineScene(Scene Scene);
