using System.Numerics;
using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Turns the fitted plane into the statement about the take: hertz, amplitudes with intervals, depth, limits, doubts.</summary>
internal static class TakeSummary
{
    /// <summary>An unseen light might have this many tones just under the limit that add up at their worst: fundamental, half an overtone.</summary>
    private const double UnseenSum = 1.5;

    /// <summary>A tone this many times over the limit shows that the light's own rate is not locked; a second, locked light is the bound's affair.</summary>
    private const double PlainTone = 3;

    /// <summary>How many times the limit the stated depth may exceed the true one: the tops of pulses overshoot when their faint overtones are left out.</summary>
    private static double Unstated(int overtones) => overtones > 1 ? 1.7 : 0.7;

    /// <summary>Sums up.</summary>
    public static TakeMeasurement Of(SampledTake take, EstimatorOptions options, SensorClock clock, LightMatrix matrix, ToneModel model, CompressionLoss loss)
    {
        double noiseLimit = NoiseLimit(model);
        // Beside a strong tone nothing fainter than its own distortion is stated, so nothing fainter is ruled out either.
        double strongest = model.Fit.Tones.Length == 0 ? 0 : model.Fit.Tones.Max(t => t.Amplitude);
        double limit = Max(loss.Limit(noiseLimit), loss.SpurFloor(strongest));
        double seconds = matrix.Ticks / matrix.TickHz;
        double slowest = SlowestBeatHz(noiseLimit, seconds);
        // Without rows to tell them apart, a slow beat of the whole picture and automatic exposure are one.
        if (take.Readout is { IsGlobal: true }) slowest = Max(slowest, FrequencyCandidates.SlowestRollingHz);

        LockedBands.Answer? locked = LockedBands.Bound(matrix, take.Rate, take.Readout, take.Exposure, model.Fit.MeanFlicker);
        double? lockedBound = LockedFinding.BoundThatMatters(locked, take, limit);

        double drift = Max(LevelSpan(model.Fit.Drift, matrix), model.LevelSwing);
        double unexplained = model.UnexplainedChange(matrix);
        // With hardly a band in the region a slow beat of the light and a drift of exposure are one: what was taken out as drift may be light.
        double asDrift = DriftMayBeLight(take, matrix) && drift > 0.0015 ? 1.5 * drift : 0;
        IReadOnlyList<Tone> tones = ToneTable.Build(take, clock, matrix, model, loss);
        (Estimate? depth, Estimate? index, double[] waveform, double halfWidth) = Depth(matrix, model, loss, noiseLimit, limit, locked, lockedBound, unexplained + asDrift);
        List<Finding> findings = TakeFindings.Collect(take, clock, model, tones, loss, limit, slowest, locked, lockedBound, drift, seconds, unexplained);
        var format = new CameraFormat(take.Rate, take.Exposure, take.Readout);
        return new TakeMeasurement(format, take.Traces.Frames, clock.FrameIndices.Length, take.Level, depth, index, limit, slowest, lockedBound, tones, findings)
        {
            Waveform = waveform,
            WaveformHalfWidth = halfWidth,
            Exhibit = options.WithExhibit ? ExhibitBuilder.Of(matrix, model, take) : null,
        };
    }

    /// <summary>On-camera amplitude that the search finds with a probability of 98 % wherever it lies in the plane, compression aside.</summary>
    private static double NoiseLimit(ToneModel model)
    {
        // Peak height at threshold, plus two deviations of noise on it; a peak between two bins both ways loses up to a quarter of its height.
        double threshold = Sqrt(model.PowerRatioNeeded * model.Floor.High), wobble = 2.05 * Sqrt(model.Floor.High / 2);
        return (threshold + wobble) / 0.75;
    }

    /// <summary>Beats slower than this are not covered by the limit: with c cycles in the clip, removing each line's mean leaves 1 − sinc²(c) of a tone's power.</summary>
    private static double SlowestBeatHz(double noiseLimit, double seconds)
    {
        for (double cycles = 0.1; cycles < 1; cycles += 0.02)
        {
            double sinc = ExposureGain.At(cycles, 1);
            if (noiseLimit / Sqrt(1 - sinc * sinc) <= 0.0035) return cycles / seconds;
        }
        return 1 / seconds;
    }

    private static (Estimate? Depth, Estimate? Index, double[] Waveform, double HalfWidth) Depth(
        LightMatrix matrix, ToneModel model, CompressionLoss loss, double noiseLimit, double limit, LockedBands.Answer? locked, double? lockedBound, double unexplained)
    {
        List<List<RecordedWaveform.Term>> groups = WaveformTerms.Of(matrix, model);
        // What noise hides may be several tones; what the encoder swallows is a change of the whole waveform.
        double unseen = UnseenSum * noiseLimit + loss.DeadZone + loss.Staircase;
        if (groups.Count == 0)
        {
            double bound = Max(unseen, lockedBound ?? 0) + unexplained;
            return (Estimate.AtMost(Min(1, bound)), Estimate.AtMost(Min(1, bound / PI)), [], 0);
        }
        List<RecordedWaveform.Term> main = groups[0];
        RecordedWaveform.Shape shape = RecordedWaveform.Of(main, [.. groups.Skip(1)]);
        double spread = Estimate.Coverage95 * shape.DepthDeviation;
        // Beside flicker that is plain by itself, standing bands that merely can't be excluded would only blur the statement; their finding stays.
        double standing = model.Fit.Tones.Max(t => t.Amplitude) > PlainTone * limit && !(locked is { Evident: true }) ? 0 : lockedBound ?? 0;
        double distortion = loss.Distortion(model.Fit.Tones.Max(t => t.Amplitude));
        double high = loss.Highest(shape.Depth + spread) + distortion + 0.5 * loss.DeadZone + noiseLimit * (1 - shape.Depth) + standing + unexplained;
        // Below the limit nothing is certain enough to have a lower end.
        bool certain = model.Fit.Tones.Max(t => t.Amplitude) > loss.Limit(noiseLimit);
        var depth = new Estimate(shape.Depth, !certain ? 0 : Max(0, loss.Lowest(shape.Depth - spread) - distortion - Unstated(main.Count) * limit), Min(1, high));
        double indexSpread = spread / 2;
        var index = new Estimate(shape.FlickerIndex, Max(0, shape.FlickerIndex - indexSpread - loss.DeadZone / 2), Min(1, shape.FlickerIndex * (1 + loss.RelativeLoss) + indexSpread + unseen / PI));
        double deviation = Sqrt(main.Sum(t => t.Deviation * t.Deviation));
        return (depth, index, RecordedWaveform.OnePeriod(main, 200), Estimate.Coverage95 * deviation);
    }

    /// <summary>Whether light of 90 Hz and more may have less than one band in the region, so that its slow beat moves all rows alike.</summary>
    private static bool DriftMayBeLight(SampledTake take, LightMatrix matrix)
    {
        double readout = Abs(take.Readout?.Seconds ?? FrequencyCandidates.FastestReadoutSeconds);
        return 90 * readout * matrix.Lines / matrix.LinesPerHeight < 1;
    }

    private static double LevelSpan(double[] drift, LightMatrix matrix)
    {
        double low = 0, high = 0;
        for (int n = 0; n < drift.Length; n++)
        {
            if (!matrix.Present[n]) continue;
            double level = (1 + matrix.RemovedLevel[n]) * (1 + drift[n]) - 1;
            (low, high) = (Min(low, level), Max(high, level));
        }
        return high - low;
    }
}
