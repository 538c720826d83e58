using FlickerProbe.Camera;
using FlickerProbe.Footage;

namespace FlickerProbe.Measurement;

/// <summary>Which frames were taken when, on the sensor's own regular clock: the jitter of time stamps undone, gaps kept, repeated frames left out.</summary>
/// <param name="FrameIndices">Frames to use, ascending.</param>
/// <param name="Ticks">Whole clock ticks of those frames, ascending from 0; a gap in the numbers is a missing frame.</param>
/// <param name="TickHz">Ticks a second: the frame rate, or what the time stamps say where they contradict it.</param>
/// <param name="TickHzDeviation">Standard deviation of <paramref name="TickHz"/> in hertz.</param>
/// <param name="Findings">What was odd.</param>
internal sealed record SensorClock(
    int[] FrameIndices, int[] Ticks, double TickHz, double TickHzDeviation, IReadOnlyList<Finding> Findings)
{
    /// <summary>Clock error of a camera, as a share: 10 parts in a million as one standard deviation. Crystal oscillators are sold at 10…50 ppm; common practice, no source.</summary>
    public const double CrystalDeviation = 1e-5;

    /// <summary>Time stamps may sit this far (in periods) from the regular grid and still count as jitter around it.</summary>
    private const double JitterAllowed = 0.35;

    /// <summary>Gaps are left open up to so many ticks in all: eight for each frame there is, and ten seconds at 25 a second. The project's own choice.</summary>
    private const double FrameShareTorn = 8, LongestGapTicks = 250;

    /// <summary>Recovers the clock of a take.</summary>
    public static SensorClock Recover(FrameTimes times, int frames, FrameRate rate, bool rateIsUsers, IReadOnlyList<float> unchangedShareByFrame)
    {
        var findings = new List<Finding>();
        double nominal = rate.Hertz;
        bool[] repeated = FindRepeats(unchangedShareByFrame, frames);
        int repeats = repeated.Count(r => r);

        int[] ticks = new int[frames];
        int first = 0, last = frames - 1;
        double tickHz = nominal, deviation = nominal * CrystalDeviation;
        if (times.Seconds is { } seconds && seconds.Length == frames && frames >= 3)
        {
            GridFit fit = FitGrid(seconds, rateIsUsers ? null : 1 / nominal, times.ResolutionSeconds);
            ticks = fit.Ticks;
            (first, last) = (fit.First, fit.Last);
            if (!rateIsUsers && fit.PeriodSeconds is { } period)
            {
                tickHz = 1 / period;
                deviation = Math.Max(deviation, fit.PeriodDeviation / (period * period));
                findings.Add(new Finding(FindingCodes.VariableRate,
                    FormattableString.Invariant($"The time stamps run at {tickHz:0.###} frames per second where {rate.ToShortText()} was expected; the time stamps were used.")));
            }
            if (last - first + 1 < frames)
            {
                findings.Add(new Finding(FindingCodes.VariableRate,
                    FormattableString.Invariant($"The frame rate changes within the clip; only the longest steady stretch of {last - first + 1} of {frames} frames was used: lock the frame rate and shoot again.")));
            }
            else if (fit.JitterPeriods > 0.02 && fit.PeriodSeconds is null)
            {
                findings.Add(new Finding(FindingCodes.VariableRate,
                    FormattableString.Invariant($"The time stamps jitter by {fit.JitterPeriods * 100:0} % of a frame around a steady rate; the sensor's regular clock was recovered under them.")));
            }
            int missing = ticks[last] - ticks[first] - (last - first);
            if (missing > 0)
            {
                findings.Add(new Finding(FindingCodes.DroppedFrames,
                    FormattableString.Invariant($"{missing} frames are missing by the time stamps; the gaps were left open.")));
            }
        }
        else
        {
            for (int n = 0; n < frames; n++) ticks[n] = n;
        }

        if (repeats > 0)
        {
            bool cadence = RepeatsFollowCadence(repeated);
            findings.Add(new Finding(FindingCodes.DroppedFrames, cadence
                ? FormattableString.Invariant($"{repeats} of {frames} frames repeat the one before in a steady pattern: the clip was converted from another frame rate, so its times can't be trusted; use the camera's original file.")
                : FormattableString.Invariant($"{repeats} of {frames} frames repeat the one before; they were left out."))
            { ForbidsPass = cadence || repeats > frames / 5 });
        }

        int[] indices = [.. Enumerable.Range(first, last - first + 1).Where(n => !repeated[n])];
        int origin = ticks[indices[0]];
        return new SensorClock(indices, [.. indices.Select(n => ticks[n] - origin)], tickHz, deviation, findings);
    }

    private readonly record struct GridFit(int[] Ticks, int First, int Last, double? PeriodSeconds, double PeriodDeviation, double JitterPeriods);

    private static GridFit FitGrid(double[] seconds, double? nominalPeriod, double resolutionSeconds)
    {
        int frames = seconds.Length;
        double[] steps = new double[frames - 1];
        for (int n = 0; n + 1 < frames; n++) steps[n] = seconds[n + 1] - seconds[n];
        double median = Order.Median(steps);
        double period = nominalPeriod is { } p && Math.Abs(median / p - 1) < 0.2 ? p : median;
        if (!(period > 0)) return new GridFit([.. Enumerable.Range(0, frames)], 0, frames - 1, null, 0, 0);

        // No frame missing over the whole clip: the count is the clock, however the stamps jitter.
        double span = seconds[^1] - seconds[0];
        int[] plain = [.. Enumerable.Range(0, frames)];
        double plainJitter = Jitter(seconds, plain, period, out _, out _);
        int[] ticks = plain;
        double jitter = plainJitter;
        if (span / period > FrameShareTorn * frames + LongestGapTicks)
        {
            // More gap than clip: the pieces have nothing to do with each other, and the empty ticks between them would fill the memory.
            jitter = double.PositiveInfinity;
        }
        else if (Math.Abs(span / period - (frames - 1)) > 0.5 || plainJitter > JitterAllowed)
        {
            ticks = new int[frames];
            for (int n = 1; n < frames; n++) ticks[n] = ticks[n - 1] + Math.Max(1, (int)Math.Round(steps[n - 1] / period));
            jitter = Jitter(seconds, ticks, period, out _, out _);
        }

        if (jitter <= JitterAllowed)
        {
            Jitter(seconds, ticks, null, out double fitted, out double deviation);
            deviation = Math.Max(deviation, resolutionSeconds / Math.Max(1, ticks[^1]));
            bool contradicts = nominalPeriod is not null && Math.Abs(fitted - period) > Math.Max(5 * deviation, 1e-4 * period)
                && Math.Abs(fitted - period) * ticks[^1] > 0.75 * period;
            return new GridFit(ticks, 0, frames - 1, contradicts || period != nominalPeriod && nominalPeriod is not null ? fitted : null, deviation, jitter);
        }

        // Not one rate: keep the longest run of steps that agree with their own median within a tenth.
        (int bestFirst, int bestLast) = (0, 0);
        for (int start = 0; start < steps.Length;)
        {
            int end = start;
            while (end + 1 < steps.Length && Math.Abs(steps[end + 1] - steps[start]) < 0.1 * steps[start] + resolutionSeconds) end++;
            if (end - start > bestLast - bestFirst - 1) (bestFirst, bestLast) = (start, end + 1);
            start = end + 1;
        }
        int[] run = [.. Enumerable.Range(0, bestLast - bestFirst + 1)];
        double runJitter = Jitter(seconds[bestFirst..(bestLast + 1)], run, null, out double runPeriod, out double runDeviation);
        bool same = nominalPeriod is { } q && Math.Abs(runPeriod / q - 1) < 1e-3;
        return new GridFit(plain, bestFirst, bestLast, same ? null : runPeriod, Math.Max(runDeviation, resolutionSeconds / Math.Max(1, run[^1])), runJitter);
    }

    /// <summary>Standard deviation (in periods) of the stamps around a straight line over the ticks; the slope is fixed when a period is given.</summary>
    private static double Jitter(double[] seconds, int[] ticks, double? period, out double fittedPeriod, out double periodDeviation)
    {
        double meanTick = ticks.Average(t => (double)t), meanTime = seconds.Average();
        double above = 0, below = 0;
        for (int n = 0; n < ticks.Length; n++)
        {
            above += (ticks[n] - meanTick) * (seconds[n] - meanTime);
            below += (ticks[n] - meanTick) * (ticks[n] - meanTick);
        }
        fittedPeriod = period ?? above / below;
        double sum = 0;
        for (int n = 0; n < ticks.Length; n++)
        {
            double rest = seconds[n] - meanTime - fittedPeriod * (ticks[n] - meanTick);
            sum += rest * rest;
        }
        double deviation = Math.Sqrt(sum / Math.Max(1, ticks.Length - 2));
        periodDeviation = deviation / Math.Sqrt(below);
        return deviation / fittedPeriod;
    }

    /// <summary>A frame repeats the one before when nearly all of its pixels are unchanged although frames of this clip usually change.</summary>
    private static bool[] FindRepeats(IReadOnlyList<float> unchanged, int frames)
    {
        bool[] repeated = new bool[frames];
        if (unchanged.Count != frames || frames < 4) return repeated;
        double[] known = [.. unchanged.Skip(1).Select(u => (double)u).Order()];
        // The lower quartile, so that even a clip with every second frame repeated shows what a real change looks like.
        double usual = known[known.Length / 4];
        if (usual > 0.85) return repeated;
        double bar = Math.Max(0.97, 1 - (1 - usual) / 8);
        for (int n = 1; n < frames; n++) repeated[n] = unchanged[n] >= bar;
        return repeated;
    }

    private static bool RepeatsFollowCadence(bool[] repeated)
    {
        int[] at = [.. Enumerable.Range(0, repeated.Length).Where(n => repeated[n])];
        if (at.Length < 5) return false;
        int[] gaps = [.. at.Zip(at.Skip(1), (a, b) => b - a)];
        int usual = gaps.GroupBy(g => g).OrderByDescending(g => g.Count()).First().Key;
        return gaps.Count(g => Math.Abs(g - usual) <= 1) >= 0.8 * gaps.Length && at.Length * usual > 0.7 * repeated.Length;
    }
}
