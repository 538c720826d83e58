using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Measurement;

/// <summary>What predicted frames lose is read from the key frames.</summary>
public class PredictionLossTests
{
    private const int Frames = 150, Rows = 240, KeyEvery = 25;
    private const double Pace = 0.17, Bands = 1.6, Light = 0.06, Overtone = 0.01;

    private static readonly CompressionLoss Lossless = new(0, 0, 0, 0, 0, 0.01), Lossy = new(0.008, 0.005, 0, 0.03, 0, 0.015);

    private static bool IsKey(int n) => n % KeyEvery == 0;

    /// <summary>Bands with an overtone, of which predicted frames hold a share.</summary>
    private static LightMatrix Recorded(double predicted, double ofOvertone, double noise)
    {
        var normal = new NormalNoise(5);
        return Planes.Of(Frames, Rows, (n, r) =>
        {
            double phase = 2 * Math.PI * (Pace * n + Bands * r / Rows);
            return 1 + (IsKey(n) ? 1 : predicted) * Light * Math.Cos(phase) + (IsKey(n) ? 1 : ofOvertone) * Overtone * Math.Cos(2 * phase + 1) + noise * normal.Next();
        });
    }

    private static (PredictionLoss Prediction, ToneFit Fit) Read(LightMatrix matrix, Func<int, bool> isKey, CompressionLoss loss)
    {
        PlaneTone[] seeds = [new(Pace, Bands / Rows, default), new(2 * Pace, 2 * Bands / Rows, default) { TiedTo = 0, Multiple = 2 }];
        ToneFit fit = ToneFit.Of(matrix, LineWeights.Even(matrix.Lines), seeds, 3, 3);
        var clock = new SensorClock([.. Enumerable.Range(0, Frames)], [.. Enumerable.Range(0, Frames)], 25, 0, []);
        var traits = new RecordingTraits(0.4, 0.5, 0.1, 0.015, "h264", false) { IsKeyFrame = [.. Enumerable.Range(0, Frames).Select(isKey)] };
        return (PredictionLoss.Of(traits, clock, matrix, fit, loss), fit);
    }

    [Theory]
    [InlineData(0.7, 0.5)]
    [InlineData(0.85, 0.85)]
    [InlineData(0.4, 0.2)]
    public void What_was_lost_is_given_back(double predicted, double ofOvertone)
    {
        (PredictionLoss prediction, ToneFit fit) = Read(Recorded(predicted, ofOvertone, 0.003), IsKey, Lossy);
        double keys = 1.0 / KeyEvery;
        Assert.Equal(Light * (keys + (1 - keys) * predicted), fit.Tones[0].Amplitude, 0.0005);
        Assert.Equal(Light, fit.Tones[0].Amplitude * prediction.Restoring(0).Factor, 0.0015);
        Assert.Equal(Overtone, fit.Tones[1].Amplitude * prediction.Restoring(1).Factor, 0.0015);
    }

    [Fact]
    public void Where_nothing_was_lost_nothing_is_added()
    {
        (PredictionLoss prediction, _) = Read(Recorded(1, 1, 0.003), IsKey, Lossy);
        Assert.False(prediction.IsNone);
        Assert.Equal(0, prediction.ShareOf(0), 0.01);
        Assert.Equal(0, prediction.ShareOf(1), 0.03);
    }

    [Fact]
    public void What_predicted_frames_show_too_strong_is_left_and_doubted()
    {
        (PredictionLoss prediction, _) = Read(Recorded(1, 1.8, 0.003), IsKey, Lossy);
        Assert.Equal((1, 0.22), (prediction.Restoring(1).Factor, Math.Round(prediction.Restoring(1).Deviation, 2)));
    }

    [Fact]
    public void A_faint_tone_that_can_not_be_read_follows_the_others()
    {
        // One key frame of wide noise: the overtone alone would say anything.
        (PredictionLoss prediction, _) = Read(Recorded(0.7, 0.7, 0.1), n => n == 0, Lossy);
        Assert.InRange(prediction.ShareOf(1), 0, 2 * prediction.Together + 0.05);
    }

    [Fact]
    public void Without_frames_of_both_kinds_or_where_every_code_is_kept_nothing_is_said()
    {
        LightMatrix matrix = Recorded(0.7, 0.7, 0.003);
        Assert.True(Read(matrix, IsKey, Lossless).Prediction.IsNone);
        Assert.True(Read(matrix, _ => true, Lossy).Prediction.IsNone);
        Assert.True(Read(matrix, _ => false, Lossy).Prediction.IsNone);
        Assert.Equal((1, 0), PredictionLoss.None.Restoring(0));
    }

    [Fact]
    public void The_whole_estimator_states_what_the_light_was()
    {
        SyntheticTake scene = new() { Light = FlickerProbe.Rendering.Light.Waveform.Sine(104.25, 0.08), Frames = Frames, Rows = Rows, ExposureSeconds = 1 / 1000.0 };
        double truth = scene.TrueDepth(scene.ExposureSeconds);
        SampledTake take = scene.Make();
        float[][] strips = [.. Enumerable.Range(0, take.Traces.Strips).Select(s => Faded(take.Traces.Strip(s).ToArray(), 0.75))];
        take = take with
        {
            Traces = new RowTraces(strips, Frames, Rows, 0, Rows),
            Traits = new RecordingTraits(0.4, 0.5, 0.15, 0.015, "h264", false) { IsKeyFrame = [.. Enumerable.Range(0, Frames).Select(IsKey)] },
        };
        TakeMeasurement known = TakeEstimator.Measure(take, new EstimatorOptions(WithExhibit: false), CancellationToken.None);
        TakeMeasurement unknown = TakeEstimator.Measure(take with { Traits = take.Traits with { IsKeyFrame = [] } }, new EstimatorOptions(WithExhibit: false), CancellationToken.None);
        Estimate depth = known.ModulationDepth!.Value;
        Assert.Equal(truth, depth.Value, 0.003);
        Assert.True(depth.Holds(truth) && known.Tones[0].Amplitude.Holds(truth) && depth.Holds(0.77 * truth));
        Assert.True(unknown.ModulationDepth!.Value.Value < 0.8 * truth);
        Assert.True(known.DetectionLimit > unknown.DetectionLimit);
        Assert.Contains(known.Findings, f => f.Code == FindingCodes.CrushedRecording && f.Message.Contains("hold 2", StringComparison.Ordinal) && f.Message.Contains(" less of the flicker", StringComparison.Ordinal));
        Assert.DoesNotContain(unknown.Findings, f => f.Message.Contains("key frames", StringComparison.Ordinal));
    }

    /// <summary>Predicted frames hold a share of each row's change.</summary>
    private static float[] Faded(float[] light, double share)
    {
        float[] faded = new float[light.Length];
        for (int r = 0; r < Rows; r++)
        {
            double mean = Enumerable.Range(0, Frames).Average(n => light[n * Rows + r]);
            for (int n = 0; n < Frames; n++) faded[n * Rows + r] = (float)(mean + (IsKey(n) ? 1 : share) * (light[n * Rows + r] - mean));
        }
        return faded;
    }
}
