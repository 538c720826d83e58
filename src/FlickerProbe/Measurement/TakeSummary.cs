using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Turns the fitted plane into the statement about the take: hertz, amplitudes with intervals, depth, limits, doubts.</summary>
internal static class TakeSummary
{
    /// <summary>A level that wanders less than this, of the mean, is steady: no beat of any strength that matters is hidden in it.</summary>
    private const double SteadyLevel = 0.0015;

    /// <summary>A wave that makes less than this part of a cycle in the clip shows a slope and hardly a bend, which a drift of the level has as well.</summary>
    private const double OnlySlope = 0.25;

    /// <summary>Sums up.</summary>
    public static TakeMeasurement Of(SampledTake take, EstimatorOptions options, SensorClock clock, LightMatrix matrix, ToneModel model, CompressionLoss loss)
    {
        model = UnseenOvertones.Counted(model, matrix);
        model = model with { Prediction = PredictionLoss.Of(take.Traits, clock, matrix, model.Fit, loss) };
        double noiseLimit = NoiseLimit(model);
        // Beside a strong tone nothing fainter than its own distortion is stated, so nothing fainter is ruled out either.
        double strongest = model.Fit.Tones.Length == 0 ? 0 : model.Fit.Tones.Max(t => t.Amplitude);
        double limit = Max(loss.Limit(noiseLimit), loss.SpurFloor(strongest)) + loss.Shadow(strongest);
        // What was left out as motion might hide a light whose bands move as slowly.
        limit = Max(limit, Min(1, 1.5 * model.MotionAmplitude));
        limit = Min(1, limit * (1 + Max(0, model.Prediction.Together)));
        limit = Max(limit, loss.Distortion(strongest, model.Fit.Tones.Sum(t => t.Amplitude)));
        bool isGlobal = take.Readout is { IsGlobal: true };
        double seconds = matrix.Ticks / matrix.TickHz;
        double drift = Max(LevelSpan(model.Fit.Drift, matrix), model.LevelSwing);
        // With hardly a band in the region, or none, a slow beat of the light and a drift of exposure are one: what was taken out as drift may be light.
        double asDrift = drift > SteadyLevel ? Min(1.5 * drift, MostLightInDrift(take, matrix)) : 0;
        double slowestInNoise = SlowestBeatHz(noiseLimit, seconds), slowest = asDrift > 0 ? Max(slowestInNoise, FrequencyCandidates.SlowestRollingHz) : slowestInNoise;
        var profile = StandingProfile.Of(matrix, take.Readout, model.Fit.MeanFlicker);
        if (profile is not null) model = StandingEvidence.Narrowed(model, matrix, profile);
        LockedBands.Answer? locked = profile is null ? null : LockedBands.Bound(profile, matrix, take.Rate, take.Readout, take.Exposure);
        double moving = model.Fit.Tones.Where(t => ToneFit.Cycles(t, matrix) >= 1).Select(t => t.Amplitude).Append(0).Max();
        double? lockedBound = LockedFinding.BoundThatMatters(locked, take, limit, moving), halfWave = LockedFinding.HalfWaveThatMatters(locked, limit);

        double unexplained = model.UnexplainedChange(matrix);
        // Where much more than noise is left, that forbids a pass already, and its own pace would speak.
        FrameMixing? mixing = unexplained <= TakeFindings.MuchUnexplained ? FrameMixing.Of(matrix, model.Fit.Residual, loss) : null;
        FrameMixing? fading = mixing is { IsPlain: true } ? mixing : null;
        if (fading is not null) limit = Min(1, limit / fading.LeastLeft);
        // All rows at once: the light may have been caught in any part of its slow beat.
        if (isGlobal && asDrift > 0) lockedBound = Max(lockedBound ?? 0, Min(1, 2 * asDrift));
        // What may stand in this one clip; the half wave alone is ruled out by any take at another rate, so it limits nothing but this clip's own depth.
        double? mayStand = halfWave > (lockedBound ?? 0) ? halfWave : lockedBound;
        // Rows tell slow beats that were found from drift, though not those that went with it, nor how strong one is of which only a slope was seen: a drift or an
        // overtone takes a part of that.
        double slowestOfRows = asDrift > 0 || HasOvertones(model) ? Max(slowestInNoise, OnlySlope / seconds) : slowestInNoise;
        var standing = new StandingShare(take.Readout is { IsGlobal: false } ? slowestOfRows : slowest, LockedFinding.BesideTones(lockedBound, locked, take), matrix, isGlobal, profile);
        IReadOnlyList<Tone> tones = ToneTable.Build(take, clock, matrix, model, loss, asDrift, standing, fading);
        RecordedDepth depth = RecordedDepth.Of(matrix, model, loss, noiseLimit, limit, mayStand, locked?.Seen, unexplained, asDrift, standing, fading);
        // Nothing plain was seen: bands that stand still would have stayed unseen as well, so nothing fainter than they might be is ruled out.
        double mayBeStanding = depth.IsPlain ? 0 : Min(1, lockedBound ?? 0);
        // A tone that is itself not known better than this may hide others: bands that hardly move, lights that share their places in the plane.
        limit = Max(limit, Min(1, model.LargestDoubt));
        // Change that no tone explains may be a tone that was missed: one of amplitude a changes the rows by a/√2 r.m.s., and twice that is what is counted.
        // Of a tone that a starved encoder half left out, that half is not in the rows: there all of the change is counted.
        double ofMoving = Max(limit, Min(1, loss.IsStarved ? unexplained : unexplained / Sqrt(2)));
        limit = Max(ofMoving, mayBeStanding);
        // Slow bands fainter than what the take can't exclude are part of that, and no tone by themselves.
        Tone[] tooFaint = depth.IsPlain ? [] : [.. tones.Where(t => t.Amplitude.Value < limit && Abs(t.AliasHz.Value) * seconds < ToneModel.SlowCycles)];
        tones = [.. tones.Except(tooFaint)];
        ofMoving = tooFaint.Select(t => Min(1, t.Amplitude.High)).Append(ofMoving).Max();
        // Nothing plain was seen: then nothing that a starved encoder may have left out whole is ruled out. Plain bands have it code every part of the picture.
        double hidden = depth.IsPlain ? 0 : Min(1, loss.Hidden(noiseLimit));
        (limit, ofMoving) = (Max(limit, hidden), Max(ofMoving, hidden));
        List<Finding> findings = TakeFindings.Collect(take, clock, model, tones, depth.IsPlain ? loss.BesidePlainFlicker : loss, limit, slowest, locked, mayStand, drift, seconds, model.NeitherToneNorNoise, mixing);
        var format = new CameraFormat(take.Rate, take.Exposure, take.Readout);
        return new TakeMeasurement(format, take.Traces.Frames, clock.FrameIndices.Length, take.Level, depth.Depth, depth.FlickerIndex, limit, slowest, lockedBound, tones, findings)
        {
            UnsharedTones = [.. model.Unshared.OrderByDescending(t => t.Amplitude).Select(t => new UnsharedTone(ToneSearch.Wrap(t.X) * matrix.TickHz, ToneSearch.Wrap(t.Nu) * matrix.LinesPerHeight))],
            HalfWaveBound = halfWave,
            FineBands = lockedBound is null ? null : locked?.Fine,
            IfNothingStands = mayStand is null ? null : new MovingOnly(depth.IfNothingStands, ofMoving),
            DepthParts = depth.Parts,
            Waveform = depth.Waveform,
            WaveformHalfWidth = depth.WaveformHalfWidth,
            Exhibit = options.WithExhibit ? ExhibitBuilder.Of(matrix, model, take) : null,
        };
    }

    /// <summary>Whether overtones of the strongest tone were found.</summary>
    private static bool HasOvertones(ToneModel model) =>
        model.GroupOf(Array.IndexOf(model.Fit.Tones, model.Fit.Tones.MaxBy(t => t.Amplitude))) is { Members.Count: > 1 };

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

    /// <summary>The most of a drift of all rows alike that may be a slow beat of light, relative to the mean: all of it where light of 90 Hz and more may have less than
    /// one band in the region; else only what fast pulses that make whole cycles from row to row can show through this shutter.</summary>
    private static double MostLightInDrift(SampledTake take, LightMatrix matrix)
    {
        double readout = Abs(take.Readout?.Seconds ?? FrequencyCandidates.FastestReadoutSeconds);
        if (90 * readout * matrix.Lines / matrix.LinesPerHeight < 1) return double.PositiveInfinity;
        double rowHz = matrix.LinesPerHeight / readout;
        return rowHz > ToneTable.FastestPulsesHz ? 0 : take.Exposure is null ? 1 : Min(1, ToneTable.LargestAlone / (PI * rowHz * take.Exposure.Seconds));
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
