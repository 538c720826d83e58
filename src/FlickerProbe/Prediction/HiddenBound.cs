using FlickerProbe.Camera;
using FlickerProbe.Light;
using MathNet.Numerics;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>What may still be in the light although no take showed it, as a camera set to some format would show it.</summary>
/// <param name="Depth">Largest on-camera amplitude of one tone that all takes could have missed, 0…1.</param>
/// <param name="Pulsing">The same for the mean of the whole picture, 0…1.</param>
/// <param name="WorstFrequencyHz">Frequency of the light at which that happens, hertz; null when the exposure itself is unknown.</param>
/// <param name="IsLocked">Whether the worst case is a light locked to the frame rate of a take rather than one at a null of its shutter.</param>
public sealed record HiddenRemainder(double Depth, double Pulsing, double? WorstFrequencyHz, bool IsLocked);

/// <summary>Bounds for every format what the takes of one light can't rule out.</summary>
/// <remarks>
/// <para>A take with on-camera detection limit L at exposure T would have missed a tone of amplitude a at frequency f when
/// a·|sinc(fT)| &lt; L. So at a format with exposure T′ there may be max over f of |sinc(fT′)| · min(cap, min over takes L/|sinc(fT)|).
/// The cap is 2, the amplitude of every overtone of an infinitely narrow pulse train: no overtone of any light can exceed it
/// (light is never negative, so |a| = 2·|mean of L·cos| ≤ 2).</para>
/// <para>The bound is held against two ideas of a shutter and the worse one counts. <i>Exact</i>: all shutters are just as stated; then the nulls of 1/250 s
/// are nulls of 1/50 s too. <i>Scattered</i>: every shutter misses its stated time by its own amount, with the stated standard deviation; then a
/// tone is missed only if the take's error happens to put it at the null, and the bound is the one that "missed, and shows more than this"
/// breaks in at most 5 % of cases. Both from the exposure gain alone; the project's own derivation.</para>
/// <para>The search starts at the lowest frequency and stops where even the cap can no longer raise the bound, since |sinc(fT′)| ≤ 1/(πfT′).</para>
/// </remarks>
public sealed class HiddenBound
{
    /// <summary>Largest amplitude that one overtone of any light can have, relative to its mean.</summary>
    public const double LargestAmplitude = 2;

    /// <summary>Lowest frequency of light that is looked for hidden, hertz: slower light is seen as pulsing at any shutter.</summary>
    public const double LowestHz = 30;

    /// <summary>Highest frequency of light that is looked for hidden, hertz.</summary>
    public const double HighestHz = 100_000;

    /// <summary>Shortest readout taken as possible where it is unknown, seconds. A fast sensor is rarely under 2 ms: common practice, no source.</summary>
    public const double ShortestReadoutSeconds = 0.002;

    private readonly IReadOnlyList<BlindSpot> _takes;

    /// <summary>Prepares the bound for the takes of one light.</summary>
    public HiddenBound(IReadOnlyList<BlindSpot> takes) => _takes = takes;

    /// <summary>The bound at one format.</summary>
    public HiddenRemainder At(CameraFormat format)
    {
        if (_takes.Count == 0) return new HiddenRemainder(1, 1, null, false);
        if (format.Exposure is null || _takes.All(t => t.ExposureSeconds is null)) return AtUnknownExposure(format);

        double exposure = format.Exposure.Seconds;
        BlindSpot[] known = [.. _takes.Where(t => t.ExposureSeconds is not null)];
        Search search = new(known, format, exposure);
        foreach ((double frequency, bool isNull) in Places(known, exposure))
        {
            double ceiling = LargestAmplitude / (PI * frequency * exposure);
            if (ceiling <= search.Depth && ceiling * search.RowShareCeiling(frequency) <= search.Pulsing) break;
            search.Try(frequency, isNull);
        }
        return new HiddenRemainder(Min(1, search.Depth), Min(1, search.Pulsing), search.WorstHz, search.WorstIsLocked);
    }

    /// <summary>With an unknown exposure on either side only the very same setting says anything: same rate, exposure equally unknown.</summary>
    private HiddenRemainder AtUnknownExposure(CameraFormat format)
    {
        double? limit = _takes.Where(t => format.Exposure is null && t.ExposureSeconds is null && t.Rate == format.Rate)
            .Select(t => (double?)Max(t.DetectionLimit, t.LockedBound ?? 0)).Min();
        return limit is { } bound ? new HiddenRemainder(Min(1, bound), Min(1, bound), null, false) : new HiddenRemainder(1, 1, null, false);
    }

    /// <summary>Frequencies to try, ascending: nulls of the takes, lights locked to the takes, tops of the format's gain, and steps between them.</summary>
    private static IEnumerable<(double Hz, bool IsNull)> Places(BlindSpot[] takes, double exposure)
    {
        // One stream per cause, merged: the search usually stops long before the end.
        PriorityQueue<(double Step, double Offset, long Index, bool IsNull), double> next = new();
        void Add(double step, double offset, bool isNull)
        {
            long first = Max(isNull ? 1 : 0, (long)Ceiling((LowestHz - offset) / step));
            next.Enqueue((step, offset, first, isNull), offset + first * step);
        }
        foreach (BlindSpot take in takes.DistinctBy(t => (t.ExposureSeconds, t.Rate)))
        {
            Add(1 / take.ExposureSeconds!.Value, 0, true);
            Add(1 / take.ExposureSeconds.Value, 0.5 / take.ExposureSeconds.Value, false);
            if (take.LockedBound is not null) Add(take.Rate.Hertz, 0, false);
        }
        Add(1 / exposure, 0.5 / exposure, false);

        (double Hz, bool IsNull) last = (LowestHz, false);
        yield return last;
        while (next.TryDequeue(out (double Step, double Offset, long Index, bool IsNull) stream, out double frequency) && frequency <= HighestHz)
        {
            for (int part = 1; part < 4; part++)
            {
                double between = last.Hz + (frequency - last.Hz) * part / 4;
                if (between > last.Hz && between < frequency) yield return (between, false);
            }
            yield return last = (frequency, stream.IsNull);
            next.Enqueue((stream.Step, stream.Offset, stream.Index + 1, stream.IsNull), stream.Offset + (stream.Index + 1) * stream.Step);
        }
    }

    /// <summary>The running maximum over the frequencies tried.</summary>
    private sealed class Search(BlindSpot[] takes, CameraFormat format, double exposure)
    {
        private static readonly double[] Amplitudes = [LargestAmplitude, 1, 0.5, 0.25, 0.12, 0.06];

        // A null is shared when the exposures are one and the same setting; then one shutter error counts once and cancels.
        private readonly bool _scatterMatters = takes.All(t => Abs(t.ExposureSeconds!.Value / exposure - 1) > 0.002);
        private readonly double _readout = format.Readout is null ? ShortestReadoutSeconds : Abs(format.Readout.Seconds);

        public double Depth { get; private set; }
        public double Pulsing { get; private set; }
        public double? WorstHz { get; private set; }
        public bool WorstIsLocked { get; private set; }

        /// <summary>Largest share of a tone that the mean over all rows can keep at or above a frequency.</summary>
        public double RowShareCeiling(double frequency) => _readout == 0 ? 1 : Min(1, 1 / (PI * frequency * _readout));

        public void Try(double frequency, bool isNull)
        {
            double gain = Abs(ExposureGain.At(frequency, exposure));
            double amplitude = LargestAmplitude;
            bool locked = false;
            foreach (BlindSpot take in takes)
            {
                double limit = LimitAt(take, frequency, out bool isLocked);
                double seen = Abs(ExposureGain.At(frequency, take.ExposureSeconds!.Value));
                double possible = seen * LargestAmplitude > limit ? limit / seen : LargestAmplitude;
                if (possible < amplitude || (possible == amplitude && isLocked)) (amplitude, locked) = (possible, isLocked);
            }
            double bound = amplitude * gain;
            if (isNull && _scatterMatters) bound = Max(bound, Scattered(frequency));

            // Known readout: the share that the mean over the rows keeps. Unknown: the most that any readout from 2 ms on would keep.
            double share = format.Readout is null ? RowShareCeiling(frequency) : Abs(GainRange.Sinc(frequency * _readout));
            Pulsing = Max(Pulsing, bound * share);
            if (bound <= Depth) return;
            (Depth, WorstHz, WorstIsLocked) = (bound, frequency, locked);
        }

        /// <summary>The bound if shutters scatter around what they say, at a null of a take.</summary>
        private double Scattered(double frequency)
        {
            double cycles = frequency * exposure;
            double deviation = format.Exposure!.RelativeDeviation, worst = 0;
            foreach (double amplitude in Amplitudes)
            {
                double missed = 1;
                foreach (BlindSpot take in takes) missed *= ChanceMissed(take, frequency, amplitude);
                if (missed <= 0.05) continue;
                // Two-sided normal quantile that leaves 0.05/missed outside.
                double spread = deviation * Sqrt(2) * SpecialFunctions.ErfInv(1 - 0.05 / missed);
                worst = Max(worst, amplitude * GainRange.Over(cycles * (1 - spread), cycles * (1 + spread)).LargestMagnitude);
            }
            return worst;
        }

        /// <summary>Chance that a take whose shutter scatters missed a tone: near the n-th null |sinc| ≈ |relative error|.</summary>
        private static double ChanceMissed(BlindSpot take, double frequency, double amplitude)
        {
            double limit = LimitAt(take, frequency, out _) / amplitude;
            double cycles = frequency * take.ExposureSeconds!.Value;
            double order = Round(cycles);
            double offset = order >= 1 ? (cycles - order) / order : 1;
            const double deviation = ExposureTime.DefaultRelativeDeviation;
            if (Abs(offset) > 5 * deviation + limit) return Abs(ExposureGain.At(frequency, take.ExposureSeconds.Value)) < limit ? 1 : 0;
            double scale = 1 / (deviation * Sqrt(2));
            return 0.5 * (SpecialFunctions.Erf((limit - offset) * scale) + SpecialFunctions.Erf((limit + offset) * scale));
        }

        /// <summary>Smallest on-camera amplitude the take shows at a frequency; lights locked to its frame rate are shown less well.</summary>
        private static double LimitAt(BlindSpot take, double frequency, out bool isLocked)
        {
            isLocked = take.LockedBound > take.DetectionLimit && Abs(AliasFrequency.Of(frequency, take.Rate)) <= take.SlowestBeatHz;
            return isLocked ? take.LockedBound!.Value : take.DetectionLimit;
        }
    }
}
