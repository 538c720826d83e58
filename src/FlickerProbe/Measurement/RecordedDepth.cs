using System.Numerics;
using FlickerProbe.Units;
using MathNet.Numerics.Distributions;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Depth and flicker index of what was recorded, with intervals.</summary>
/// <param name="Depth">(max − min)/(max + min), 0…1.</param>
/// <param name="FlickerIndex">Area above the mean over total area, 0…1.</param>
/// <param name="Waveform">One period of the strongest group, 1 = mean; empty when no tone was found.</param>
/// <param name="WaveformHalfWidth">Half-width of its 95 % interval.</param>
/// <param name="IsPlain">Whether a tone stands so clear of the limit that the light's own rate is seen.</param>
internal sealed record RecordedDepth(
    Estimate Depth, Estimate FlickerIndex, double[] Waveform, double WaveformHalfWidth, bool IsPlain)
{
    /// <summary>What makes the depth's interval as wide as it is.</summary>
    public IReadOnlyList<UncertaintyPart> Parts { get; private init; } = [];

    /// <summary>The depth where another take shows that nothing stands still beside what was found.</summary>
    public Estimate IfNothingStands { get; private init; }

    /// <summary>An unseen light might have this many tones just under the limit that add up at their worst: fundamental, half an overtone.</summary>
    private const double UnseenSum = 1.5;

    /// <summary>A tone this many times over the limit shows that the light's own rate is not locked; a second, locked light is the bound's affair.</summary>
    private const double PlainTone = 3;

    /// <summary>A second light under the limit beside the one that was found is possible but seldom; this share of the limit is allowed for it.</summary>
    private const double SecondLight = 0.3;

    /// <summary>The largest share of its fundamental that an overtone swallowed by the encoder may have had. Mains ripple stays under it: common practice, no source.</summary>
    private const double FaintOvertone = 0.25;

    /// <summary>Share of the main waveform's strongest tone up to which another tone is a small one.</summary>
    private const double SmallTone = 0.05;

    /// <summary>A light with overtones up to this one is taken for a pulse train.</summary>
    private const int ShortestPulseSeries = 5;

    /// <summary>Share of the strongest tone from which another shapes the waveform.</summary>
    private const double MattersBeside = 0.1;

    /// <summary>As many lights of different rates are met in one picture.</summary>
    private const int MostLights = 2;

    /// <summary>Share by which the depth that many tones together reach on some row may come out too deep: noise and what was fitted badly add to extremes. The project's
    /// own, from rendered light.</summary>
    private const double MetTooDeep = 0.15;

    /// <summary>Draws of the noise that its lift of the depth is averaged over.</summary>
    private const int NoiseDraws = 8;

    /// <summary>Measures the waveform that the tones make together.</summary>
    public static RecordedDepth Of(
        LightMatrix matrix, ToneModel model, CompressionLoss loss, double noiseLimit, double limit, double? lockedBound, double? lockedSeen, double unexplained, double asDrift, StandingShare share, FrameMixing? mixing)
    {
        List<List<RecordedWaveform.Term>> groups = WaveformTerms.Of(matrix, model);
        // What noise hides may be several tones; what the encoder swallows is a change of the whole waveform.
        double unseen = loss.Hidden(UnseenSum * noiseLimit) / (mixing?.LeastLeft ?? 1);
        if (groups.Count == 0)
        {
            double others = unexplained + asDrift, bound = Max(unseen, lockedBound ?? 0) + others;
            return new RecordedDepth(Estimate.AtMost(Min(1, bound)), Estimate.AtMost(Min(1, bound / PI)), [], 0, false)
            {
                IfNothingStands = Estimate.AtMost(Min(1, unseen + others)),
                Parts = UncertaintyPart.List(
                    ("noise", UnseenSum * noiseLimit), ("compression", loss.Hidden(0)), ("standing bands", lockedBound ?? 0),
                    ("unexplained change", unexplained), ("level drift", asDrift)),
            };
        }

        List<RecordedWaveform.Term> main = groups[0];
        RecordedWaveform.Shape shape = RecordedWaveform.Of(main, [.. groups.Skip(1)]);
        // The same with the overtones that were too faint to state, as the residual shows them.
        List<RecordedWaveform.Term> faint = FaintOvertones.Of(matrix, model);
        RecordedWaveform.Shape whole = faint.Count == 0 ? shape : RecordedWaveform.Of([.. main, .. faint], [.. groups.Skip(1)]);
        RecordedWaveform.Shape calm = RecordedWaveform.Of(WithoutOvershoot(main), [.. groups.Skip(1)]);
        double spread = Estimate.Coverage95 * whole.DepthDeviation;
        RecordedWaveform.Shape[] alone = [.. groups.Select(g => RecordedWaveform.Of(g, []))];
        double product = AsProduct(alone);
        // Small tones that follow no others may yet belong to the main waveform: then they do not add up at their worst. Tones under the limit may be the encoder's.
        double loudest = main.Max(t => t.Z.Magnitude), sureFrom = Min(limit, loudest);
        RecordedWaveform.Shape sure = RecordedWaveform.Of(
            [.. main.Where(t => t.Z.Magnitude >= sureFrom)], [.. groups.Skip(1).Where(g => g.Max(t => t.Z.Magnitude) > Max(limit, SmallTone * loudest))]);
        double raised = RaisedByNoise(main, alone[0].Depth);
        double[] readings = [shape.Depth, whole.Depth, sure.Depth, product];
        double lowest = Min(readings.Min(), calm.Depth), highest = readings.Max(), met = Min(shape.Depth, Met(groups, model, matrix) ?? 1), unsorted = shape.Depth - met;
        double least = (unsorted > 0 ? Min(lowest, (1 - MetTooDeep) * met) : lowest) - spread - raised, most = highest + spread;

        PlaneTone strongest = model.Fit.Tones.MaxBy(t => t.Amplitude)!;
        bool plain = strongest.Amplitude > PlainTone * limit, certain = strongest.Amplitude > loss.Limit(noiseLimit);
        double rows = strongest.RowsPerBand, distortion = loss.Distortion(strongest.Amplitude, model.Fit.Tones.Sum(t => t.Amplitude));
        double swallowed = FromOvertones(matrix, model, loss, strongest, limit), second = SecondLight * noiseLimit * (1 - shape.Depth);
        // Beside flicker that is plain by itself, standing bands that merely can't be excluded would only blur the statement; their finding stays. Those that are seen count.
        double beside = share.Of(strongest), standing = beside > 0 ? beside : (plain ? lockedSeen : lockedBound) ?? 0;
        double absorbed = Together([.. model.Fit.Tones.Select(model.OvertonesIn)]);
        // Noise, the encoder and distortion err independently of each other; what may stand, move or drift unseen adds up.
        double taken = loss.Highest(shape.Depth, rows, strongest.Amplitude) - shape.Depth;
        double restored = Restored(matrix, model, shape.Depth);
        double up = Together(most - shape.Depth, taken, restored, 0.5 * swallowed, distortion, second, absorbed);
        // An encoder's own errors are most of what its recording leaves unexplained; they are not counted twice.
        up = loss.IsLossy ? Max(up, unexplained) : up + unexplained;
        // Mixed frames weaken each tone by its own pace; the one of any strength that lost most stands for all.
        double left = mixing is null ? 1 : model.Fit.Tones.Where(t => t.Amplitude > MattersBeside * strongest.Amplitude).Min(t => mixing.Left(t.X));
        double faded = shape.Depth * (1 / left - 1);
        double high = Max(shape.Depth + up + faded, certain ? 0 : unseen) + standing + asDrift, moving = share.Holds(strongest) ? high : high - standing;
        // Below the limit nothing is certain enough to have a lower end.
        double down = restored + Together(shape.Depth - least, shape.Depth - loss.Lowest(shape.Depth, rows, strongest.Amplitude), 0.7 * swallowed, distortion, Min(absorbed, UnseenOvertones.MostTaken * shape.Depth));
        // With less than a band in the region, a slow beat and a drift of the level can stand against one another where there is neither: somebody walking through.
        double against = ToneModel.IsSlow(strongest, matrix) && rows > matrix.Lines ? asDrift : 0;
        double low = certain ? Max(0, shape.Depth - down - loss.PumpedOf(strongest, matrix) - shape.Depth * Min(0.5, share.Unsure(strongest)) - against) : 0;
        double indexSpread = spread / 2 + Abs(whole.FlickerIndex - shape.FlickerIndex);
        var index = new Estimate(
            shape.FlickerIndex,
            Max(0, shape.FlickerIndex - indexSpread - loss.DeadZone / 2),
            Min(1, shape.FlickerIndex * (1 + loss.RelativeLoss) + indexSpread + unseen / PI));
        Estimate UpTo(double highest) => new(met, Min(low, met), Max(Min(1, highest), met));
        return new RecordedDepth(
            UpTo(high), index, RecordedWaveform.OnePeriod(main, 200),
            Estimate.Coverage95 * Sqrt(main.Sum(t => t.Deviation * t.Deviation)), plain)
        {
            IfNothingStands = UpTo(moving),
            Parts = UncertaintyPart.List(
                ("noise", spread + raised), ("faint overtones", Max(Max(highest - shape.Depth, shape.Depth - lowest), absorbed)),
                ("compression", Together(taken, restored, 0.5 * swallowed)), ("distortion", distortion),
                ("a second light", second), ("unsorted tones", unsorted), ("mixed frames", faded), ("standing bands", standing), ("unexplained change", unexplained), ("level drift", asDrift)),
        };
    }

    /// <summary>Depth when the groups are factors of one light, a dimmer that pulses a rippling supply, whose sums and differences are too faint to be seen.</summary>
    private static double AsProduct(RecordedWaveform.Shape[] groups)
    {
        double highest = 1, lowest = 1;
        foreach (RecordedWaveform.Shape shape in groups)
        {
            highest *= 1 + shape.Highest;
            lowest *= Max(0, 1 + shape.Lowest);
        }
        return (highest - lowest) / (highest + lowest);
    }

    /// <summary>The depth that the tones together reached on some row of this clip, which is what counts where they are of more lights than there can be; null where they are not.</summary>
    /// <remarks>What looks like many lights is one or two whose overtones and sums lie too close to be sorted: they never add up at their worst.</remarks>
    private static double? Met(List<List<RecordedWaveform.Term>> groups, ToneModel model, LightMatrix matrix)
    {
        // Many faint ones matter like one that is strong; sums that were sorted are no lights of their own, and those that were not are.
        bool IsOfMany(IEnumerable<double> lights) => lights.OrderDescending().ToArray() is var strengths && strengths.Skip(MostLights).Sum() > MattersBeside * strengths[0];
        if (!IsOfMany(model.Grouping.Groups.Select(g => g.Members.Max(m => model.Fit.Tones[m.Tone].Amplitude))) && !IsOfMany(groups.Select(g => g.Max(t => t.Z.Magnitude)))) return null;
        float lowest = 0, highest = 0;
        for (int n = 0; n < matrix.Ticks; n++)
        {
            if (!matrix.Present[n]) continue;
            ReadOnlySpan<float> data = matrix.Relative.AsSpan(n * matrix.Lines, matrix.Lines), rest = model.Fit.Residual.AsSpan(n * matrix.Lines, matrix.Lines);
            double[] mean = model.Fit.MeanFlicker[matrix.ParityOf(n)];
            float drift = (float)model.Fit.Drift[n];
            for (int r = 0; r < data.Length; r++)
            {
                float together = data[r] * (float)(1 + mean[r]) - drift - rest[r];
                (lowest, highest) = (Min(lowest, together), Max(highest, together));
            }
        }
        return Clamp((highest - lowest) / Max(2 + highest + lowest, 1e-9), 0, 1);
    }

    /// <summary>By how much noise on the tones raises the depth on average: it pushes extremes apart sooner than together.</summary>
    /// <remarks>A parametric bootstrap: Efron &amp; Tibshirani, "An Introduction to the Bootstrap", 1993, chapter 10 (from memory).</remarks>
    private static double RaisedByNoise(List<RecordedWaveform.Term> terms, double depth)
    {
        // The same draws for the same clip.
        var random = new Random(1);
        double Noisy(double deviation) => Normal.Sample(random, 0, deviation);
        double Drawn() => RecordedWaveform.Of([.. terms.Select(t => t with { Z = t.Z + new Complex(Noisy(t.Deviation), Noisy(t.Deviation)) })], []).Depth;
        return Max(0, Enumerable.Range(0, NoiseDraws).Average(_ => Drawn()) - depth);
    }

    /// <summary>How much of the depth is what key frames show and predicted ones lost: it may be none, or twice that.</summary>
    private static double Restored(LightMatrix matrix, ToneModel model, double depth)
    {
        if (model.Prediction.IsNone) return 0;
        List<List<RecordedWaveform.Term>> asRecorded = WaveformTerms.Of(matrix, model, asRecorded: true);
        double lost = Abs(depth - RecordedWaveform.Of(asRecorded[0], [.. asRecorded.Skip(1)]).Depth);
        // Tones that predicted frames show too strong are left as they are.
        double added = Enumerable.Range(0, model.Fit.Tones.Length).Max(k => Max(0, -model.Prediction.ShareOf(k)) * model.Fit.Tones[k].Amplitude);
        return Together(lost, added);
    }

    /// <summary>The most that the encoder may have taken from one of the strongest tone's first overtones, or that the search may have left of it.</summary>
    private static double FromOvertones(LightMatrix matrix, ToneModel model, CompressionLoss loss, PlaneTone strongest, double limit)
    {
        int at = Array.IndexOf(model.Fit.Tones, strongest);
        OvertoneGrouping.ToneGroup? group = model.GroupOf(at);
        int own = group is null ? 1 : group.Members.Find(m => m.Tone == at).Multiple;
        double most = 0;
        for (int multiple = 2; multiple <= FaintOvertones.Lowest; multiple++)
        {
            double seen = group?.Members.Where(m => m.Multiple == multiple * own).Sum(m => model.Fit.Tones[m.Tone].Amplitude) ?? 0;
            double lost = loss.SwallowedOf(strongest.RowsPerBand / multiple, strongest.Amplitude);
            // Where it can't be read either, all that the take may miss is open; the limit counts what fine bands lose.
            if (seen == 0 && !FaintOvertones.CanBeRead(matrix, model, new PlaneTone(strongest.X * multiple, strongest.Nu * multiple, default))) lost = Max(lost, limit - loss.DeadZone + lost);
            most = Max(most, seen > 0 ? lost : Min(lost, FaintOvertone * strongest.Amplitude));
        }
        return most;
    }

    private static double Together(params ReadOnlySpan<double> halfWidths)
    {
        double sum = 0;
        foreach (double part in halfWidths) sum += part * part;
        return Sqrt(sum);
    }

    /// <summary>A series cut off overshoots at the edges of a pulse; each tone weakened by the sinc of its place in the series makes the tops flat again.</summary>
    /// <remarks>Lanczos, "Applied Analysis", 1956, the σ factors. Short series are no pulses and stay as they are.</remarks>
    private static List<RecordedWaveform.Term> WithoutOvershoot(List<RecordedWaveform.Term> terms)
    {
        int highestA = terms.Max(t => Abs(t.A)), highestB = terms.Max(t => Abs(t.B));
        static double Weakened(int multiple, int highest) => highest < ShortestPulseSeries ? 1 : Camera.ExposureGain.At(multiple / (highest + 1.0), 1);
        return [.. terms.Select(t => t with { Z = t.Z * (Weakened(t.A, highestA) * Weakened(t.B, highestB)) })];
    }
}
