using FlickerProbe.Footage;

namespace FlickerProbe.Measurement;

/// <summary>From one sampled take to its tones, true frequencies, depth, limits and doubts.</summary>
/// <remarks>
/// 1 the sensor's clock under the time stamps, and under even ones the gaps that the bands show; 2 relative light per line; 3 tones: search in the windowed plane and among slow beats,
/// joint fit, subtract, search again; 4 tones that the column strips disagree on are motion and are dropped; 5 overtones and sums are
/// sorted and tied; 6 true frequencies; 7 depth, limits, standing bands; 8 doubts in words.
/// </remarks>
public static class TakeEstimator
{
    /// <summary>Measures a take.</summary>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    public static TakeMeasurement Measure(SampledTake take, EstimatorOptions options, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(take);
        ArgumentNullException.ThrowIfNull(options);
        if (take.Traces.Frames < 8) return StillEstimator.Measure(take, options);

        SensorClock clock = SensorClock.Recover(take.Times, take.Traces.Frames, take.Rate, take.RateIsUsers, take.Traits.UnchangedShareByFrame);
        if (clock.FrameIndices.Length < 8) return StillEstimator.Measure(take, options);
        LightMatrix matrix = LightMatrix.Build(take, clock);
        FirstLook look = FirstLook.At(matrix);
        if (MissingFrames.Reopened(clock, matrix, look) is { } reopened)
        {
            clock = reopened;
            matrix = LightMatrix.Build(take, clock);
            look = FirstLook.At(matrix);
        }
        CompressionLoss loss = CompressionLoss.Of(take.Traits, take.Level, matrix.MeanLight.Average(p => p.Average()));
        ToneModel model = ToneModel.Build(matrix, look, loss, KnownReadout.Of(take.Readout, matrix), cancellation, options.BetweenRounds);
        cancellation.ThrowIfCancellationRequested();
        options.BetweenRounds?.Invoke();
        return TakeSummary.Of(take, options, clock, matrix, model, loss);
    }
}
