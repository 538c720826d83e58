using System.Collections.Concurrent;
using System.Runtime.CompilerServices;
using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
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
/// <para>The search starts at the lowest frequency and stops where even the cap can no longer raise the bound, since |sinc(fT′)| ≤ 1/(πfT′).
/// The bound does not depend on the frame rate, so answers are kept per exposure and readout.</para>
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

    // A light is asked through many forecasters: for verdicts, safe exposures, remedies, the map. What its takes leave open is worked out once.
    private static readonly ConditionalWeakTable<IReadOnlyList<BlindSpot>, HiddenBound> Shared = [];

    private readonly IReadOnlyList<BlindSpot> _takes;
    private readonly ConcurrentDictionary<(ExposureTime, ReadoutTime?), HiddenRemainder> _known = new();

    /// <summary>Prepares the bound for the takes of one light.</summary>
    public HiddenBound(IReadOnlyList<BlindSpot> takes) => _takes = takes;

    /// <summary>The bound for the takes of one light, shared by all who ask about the very same list.</summary>
    public static HiddenBound Of(IReadOnlyList<BlindSpot> takes) => Shared.GetValue(takes, t => new HiddenBound(t));

    /// <summary>The bound at one format.</summary>
    public HiddenRemainder At(CameraFormat format)
    {
        if (_takes.Count == 0) return new HiddenRemainder(1, 1, null, false);
        if (format.Exposure is null || _takes.All(t => t.ExposureSeconds is null)) return AtUnknownExposure(format);

        return _known.GetOrAdd((format.Exposure, format.Readout), _ => Search(format));
    }

    private HiddenRemainder Search(CameraFormat format)
    {
        double exposure = format.Exposure!.Seconds;
        BlindSpot[] known = [.. _takes.Where(t => t.ExposureSeconds is not null)];
        // At a take's own exposure its limit holds as it is, for every frequency.
        double[] own = [.. known.Where(t => Abs(t.ExposureSeconds!.Value / exposure - 1) < 1e-9 && !(t.LockedBound > t.DetectionLimit) && !(t.HalfWaveBound > t.DetectionLimit)).Select(t => t.DetectionLimit)];
        if (own.Length > 0) return new HiddenRemainder(Min(1, own.Min()), Min(1, own.Min()), null, false);

        Maximum maximum = new(known, format, exposure);
        foreach ((double frequency, bool isNull) in Places(known, exposure))
        {
            double ceiling = LargestAmplitude / (PI * frequency * exposure);
            if (maximum.CannotGrow(ceiling, maximum.RowShareCeiling(frequency))) break;
            maximum.Try(frequency, isNull);
        }
        return new HiddenRemainder(Min(1, maximum.Depth), Min(1, maximum.Pulsing), maximum.WorstHz, maximum.WorstIsLocked);
    }

    /// <summary>With an unknown exposure on either side only the very same setting says anything: same rate, exposure equally unknown.</summary>
    private HiddenRemainder AtUnknownExposure(CameraFormat format)
    {
        double? limit = _takes.Where(t => format.Exposure is null && t.ExposureSeconds is null && t.Rate == format.Rate)
            .Select(t => (double?)t.LimitAtAnyRate).Min();
        return limit is { } bound ? new HiddenRemainder(Min(1, bound), Min(1, bound), null, false) : new HiddenRemainder(1, 1, null, false);
    }

    /// <summary>Frequencies to try, ascending: nulls of the takes, lights locked to the takes, tops of the format's gain, and steps between them.</summary>
    private static IEnumerable<(double Hz, bool IsNull)> Places(BlindSpot[] takes, double exposure)
    {
        // One stream per cause, merged: the search usually stops long before the end.
        List<(double Step, double Offset, long Index, bool IsNull)> streams = [];
        void Add(double step, double offset, bool isNull) => streams.Add((step, offset, Max(isNull ? 1 : 0, (long)Ceiling((LowestHz - offset) / step)), isNull));
        foreach (double take in takes.Select(t => t.ExposureSeconds!.Value).Distinct())
        {
            Add(1 / take, 0, true);
            Add(1 / take, 0.5 / take, false);
        }
        foreach (FrameRate rate in takes.Where(t => t.LockedBound is not null).Select(t => t.Rate).Distinct()) Add(rate.Hertz, 0, false);
        foreach (double halfWave in takes.Where(t => t.HalfWaveBound is not null).SelectMany(t => HalfWaveLight.StandingAt(t.Rate.Hertz)).Distinct()) Add(halfWave, 0, false);
        Add(1 / exposure, 0.5 / exposure, false);

        double last = LowestHz;
        yield return (last, false);
        while (true)
        {
            int next = 0;
            for (int i = 1; i < streams.Count; i++)
            {
                if (streams[i].Offset + streams[i].Index * streams[i].Step < streams[next].Offset + streams[next].Index * streams[next].Step) next = i;
            }
            (double step, double offset, long index, bool isNull) = streams[next];
            double frequency = offset + index * step;
            if (frequency > HighestHz) yield break;
            streams[next] = (step, offset, index + 1, isNull);
            for (int part = 1; part < 4 && frequency - last > 1e-6 * frequency; part++) yield return (last + (frequency - last) * part / 4, false);
            yield return (frequency, isNull);
            last = frequency;
        }
    }

    /// <summary>The running maximum over the frequencies tried.</summary>
    private sealed class Maximum(BlindSpot[] takes, CameraFormat format, double exposure)
    {
        private static readonly double[] Amplitudes = [LargestAmplitude, 1, 0.5, 0.25, 0.12, 0.06];

        // A null is shared when the exposures are one and the same setting; then one shutter error counts once and cancels.
        private readonly bool _scatterMatters = takes.All(t => Abs(t.ExposureSeconds!.Value / exposure - 1) > 0.002);
        private readonly double _readout = format.Readout is null ? ShortestReadoutSeconds : Abs(format.Readout.Seconds);

        // Less than what the takes can show at their best is not worth a longer search: it is granted.
        public double Depth { get; private set; } = takes.Min(t => t.DetectionLimit);
        public double Pulsing { get; private set; } = takes.Min(t => t.DetectionLimit) / 2;
        public double? WorstHz { get; private set; }
        public bool WorstIsLocked { get; private set; }

        /// <summary>Largest share of a tone that the mean over all rows can keep at or above a frequency.</summary>
        public double RowShareCeiling(double frequency) => _readout == 0 ? 1 : Min(1, 1 / (PI * frequency * _readout));

        /// <summary>Whether an on-camera amplitude up to this, of which the rows leave up to that share, could no longer raise anything.</summary>
        public bool CannotGrow(double amplitude, double share) => amplitude <= Depth && amplitude * share <= Pulsing;

        public void Try(double frequency, bool isNull)
        {
            // Known readout: the share that the mean over the rows keeps. Unknown: the most that any readout from 2 ms on would keep.
            double share = format.Readout is null ? RowShareCeiling(frequency) : Abs(GainRange.Sinc(frequency * _readout));
            double gain = Abs(ExposureGain.At(frequency, exposure));
            bool locked = false;
            double bound = CannotGrow(LargestAmplitude * gain, share) ? 0 : Exact(frequency, gain, out locked);
            if (isNull && _scatterMatters && !CannotGrow(LargestAmplitude * Widest(frequency).LargestMagnitude, share)) bound = Max(bound, Scattered(frequency));

            Pulsing = Max(Pulsing, bound * share);
            if (bound <= Depth) return;
            (Depth, WorstHz, WorstIsLocked) = (bound, frequency, locked);
        }

        /// <summary>The bound if all shutters are exactly as stated.</summary>
        private double Exact(double frequency, double gain, out bool locked)
        {
            double amplitude = LargestAmplitude;
            locked = false;
            foreach (BlindSpot take in takes)
            {
                double limit = LimitAt(take, frequency, out bool isLocked);
                double seen = Abs(ExposureGain.At(frequency, take.ExposureSeconds!.Value));
                double possible = seen * LargestAmplitude > limit ? limit / seen : LargestAmplitude;
                if (possible < amplitude || (possible == amplitude && isLocked)) (amplitude, locked) = (possible, isLocked);
            }
            return amplitude * gain;
        }

        /// <summary>The format's gain over all that its shutter's scatter makes likely.</summary>
        private GainRange Widest(double frequency)
        {
            double spread = Units.Estimate.Coverage95 * format.Exposure!.RelativeDeviation;
            return GainRange.Over(frequency * exposure * (1 - spread), frequency * exposure * (1 + spread));
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

        /// <summary>Smallest on-camera amplitude the take shows at a frequency; lights locked to its frame rate are shown less well, and one slow bend least of all.</summary>
        private static double LimitAt(BlindSpot take, double frequency, out bool isLocked)
        {
            double standing = take.HalfWaveBound is { } halfWave && HalfWaveLight.Stands(frequency, take.Rate.Hertz) ? halfWave : 0;
            if (Abs(AliasFrequency.Of(frequency, take.Rate)) <= take.SlowestBeatHz) standing = Max(standing, take.StandingAt(frequency));
            isLocked = standing > take.DetectionLimit;
            return isLocked ? standing : take.DetectionLimit;
        }
    }
}
