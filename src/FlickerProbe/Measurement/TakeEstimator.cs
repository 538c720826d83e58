using System.Numerics;
using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>From one sampled take to its tones, true frequencies, depth, limits and doubts.</summary>
/// <remarks>
/// 1 the sensor's clock under the time stamps; 2 relative light per line; 3 tones: search in the windowed plane and among slow beats,
/// joint fit, subtract, search again; 4 tones that the column strips disagree on are motion and are dropped; 5 overtones and sums are
/// sorted and tied; 6 true frequencies; 7 depth, limits, standing bands; 8 doubts in words.
/// </remarks>
public static class TakeEstimator
{
    private const int DriftOrders = 6;
    private const int MostRounds = 8;
    private const int MostTones = 60;

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
        ToneModel model = ToneModel.Build(matrix, cancellation);
        cancellation.ThrowIfCancellationRequested();
        return TakeSummary.Of(take, options, clock, matrix, model);
    }

    /// <summary>The tones of a matrix, sorted and tied, with the noise they stand in.</summary>
    internal sealed record ToneModel(ToneFit Fit, OvertoneGrouping.Grouping Grouping, PlaneSpectrum Spectrum, NoiseFloor Floor, double PowerRatioNeeded, int Dropped)
    {
        /// <summary>Searches, fits, sorts.</summary>
        public static ToneModel Build(LightMatrix matrix, CancellationToken cancellation)
        {
            double[] weights = LineWeights.Even(matrix.Lines);
            ToneFit fit = ToneFit.Of(matrix, weights, [], DriftOrders, 0);
            var rejected = new List<PlaneTone>();
            PlaneSpectrum spectrum = PlaneSpectrum.Of(matrix, fit.Residual);
            NoiseFloor floor = NoiseFloor.Of(spectrum);
            double needed = ToneSearch.PowerRatioNeeded(spectrum);
            for (int round = 0; round < MostRounds && fit.Tones.Length < MostTones; round++)
            {
                cancellation.ThrowIfCancellationRequested();
                PlaneTone[] known = [.. fit.Tones, .. rejected];
                List<PlaneTone> found = ToneSearch.Find(spectrum, floor, matrix, known, 16);
                // Slow and fast leak into each other's search: whichever is stronger must be modelled first.
                List<PlaneTone> slow = SlowBeatSearch.Find(matrix, fit.Residual, weights, known, 1);
                // What is left of a strong slow beat after its fit is not another light.
                double strongest = fit.Tones.Length == 0 ? 0 : fit.Tones.Max(t => t.Amplitude);
                slow.RemoveAll(t => t.SearchAmplitude < 0.005 * strongest);
                if (slow.Count > 0 && (found.Count == 0 || slow[0].SearchAmplitude > 0.5 * found[0].Amplitude)) found = slow;
                if (found.Count == 0) break;
                fit = ToneFit.Of(matrix, weights, [.. fit.Tones, .. found], DriftOrders, 3);
                weights = LineWeights.FromResidual(matrix, fit.Residual);
                PlaneTone[] kept = [.. fit.Tones.Where(t => StripAgreement.IsCommon(matrix, fit, t))];
                rejected.AddRange(fit.Tones.Except(kept));
                fit = ToneFit.Of(matrix, weights, kept, DriftOrders, 2);
                spectrum = PlaneSpectrum.Of(matrix, fit.Residual);
                floor = NoiseFloor.Of(spectrum);
            }

            OvertoneGrouping.Grouping grouping = OvertoneGrouping.Sort(fit.Tones, matrix);
            List<PlaneTone> tied = Overtones.TieAndExtend(fit, grouping, spectrum, floor, matrix);
            if (tied.Count > 0)
            {
                fit = ToneFit.Of(matrix, weights, tied, DriftOrders, 3);
                grouping = OvertoneGrouping.Sort(fit.Tones, matrix);
                spectrum = PlaneSpectrum.Of(matrix, fit.Residual);
                floor = NoiseFloor.Of(spectrum);
            }
            return new ToneModel(fit, grouping, spectrum, floor, needed, rejected.Count);
        }
    }
}
