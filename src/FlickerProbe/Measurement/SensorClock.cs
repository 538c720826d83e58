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

        if (jitter <= JitterAllowed && !Bends(seconds, ticks, resolutionSeconds))
        {
            Jitter(seconds, ticks, null, out double fitted, out double deviation);
            deviation = Math.Max(deviation, resolutionSeconds / Math.Max(1, ticks[^1]));
            bool contradicts = nominalPeriod is not null && Math.Abs(fitted - period) > Math.Max(5 * deviation, 1e-4 * period)
                && Math.Abs(fitted - period) * ticks[^1] > 0.75 * period;
            return new GridFit(ticks, 0, frames - 1, contradicts || period != nominalPeriod && nominalPeriod is not null ? fitted : null, deviation, jitter);
        }

        (int bestFirst, int bestLast) = LongestSteady(seconds, ticks, resolutionSeconds);
        int[] run = Counted(ticks, bestFirst, bestLast);
        double runJitter = Jitter(seconds[bestFirst..(bestLast + 1)], run, null, out double runPeriod, out double runDeviation);
        bool same = nominalPeriod is { } q && Math.Abs(runPeriod / q - 1) < 1e-3;
        int[] all = new int[frames];
        run.CopyTo(all, bestFirst);
        return new GridFit(all, bestFirst, bestLast, same ? null : runPeriod, Math.Max(runDeviation, resolutionSeconds / Math.Max(1, run[^1])), runJitter);
    }

    /// <summary>The ticks of a part from 0 on, in the largest steps that all of them share.</summary>
    private static int[] Counted(int[] ticks, int first, int last)
    {
        int[] part = [.. ticks[first..(last + 1)].Select(t => t - ticks[first])];
        int step = part.Aggregate(0, (a, b) => (int)System.Numerics.BigInteger.GreatestCommonDivisor(a, b));
        return step > 1 ? [.. part.Select(t => t / step)] : part;
    }

    /// <summary>Stamps, smoothed over a few frames, may stray this far (in periods) from one rate before they are taken for two.</summary>
    private const double BendAllowed = 0.1;

    /// <summary>Within a stretch of one rate they stray less, beside what single stamps do by chance.</summary>
    private const double SteadyPeriods = 0.01;

    private const int SmoothedOver = 5, MostSplits = 200, EdgeFrames = 3;

    /// <summary>Whether the stamps leave a straight line as a whole and not one by one: the rate itself changed.</summary>
    private static bool Bends(double[] seconds, int[] ticks, double resolutionSeconds)
    {
        double[] rest = Rest(seconds, ticks, null, out double period, out _);
        double[] smooth = Smooth(rest);
        double all = rest.Sum(r => r * r), slow = smooth.Sum(r => r * r);
        // Jitter of single stamps loses four fifths of its power here.
        return slow > 0.6 * all && smooth.Max(Math.Abs) > BendAllowed * period + resolutionSeconds;
    }

    /// <summary>The longest stretch of one rate: the longest piece is split where its stamps stray farthest from a straight line, until it does not stray.</summary>
    private static (int First, int Last) LongestSteady(double[] seconds, int[] ticks, double resolutionSeconds)
    {
        // Second differences see single stamps and no rate; √6 for their three stamps, 0.6745 from the median of a normal variable to its deviation.
        double[] bends = [.. Enumerable.Range(1, seconds.Length - 2).Select(n => Math.Abs(seconds[n + 1] - 2 * seconds[n] + seconds[n - 1]))];
        double jitter = 3 / Math.Sqrt(SmoothedOver) * Order.Median(bends) / 0.6745 / Math.Sqrt(6);
        var unsure = new HashSet<int>();
        var pieces = new PriorityQueue<(int First, int Last), int>();
        pieces.Enqueue((0, seconds.Length - 1), -seconds.Length);
        for (int splits = 0; splits < MostSplits; splits++)
        {
            (int first, int last) = pieces.Peek();
            if (last - first < 4 * SmoothedOver) break;
            double[] smooth = Smooth(Rest(seconds[first..(last + 1)], Counted(ticks, first, last), null, out double period, out _));
            int knot = Enumerable.Range(0, smooth.Length).MaxBy(n => Math.Abs(smooth[n]));
            if (Math.Abs(smooth[knot]) <= SteadyPeriods * period + resolutionSeconds + jitter) break;
            // Near there the stamps bend most at the change itself; a gap bends two alike, and the frame before it ends the piece.
            int near = first + Math.Clamp(knot + SmoothedOver / 2, SmoothedOver, last - first - SmoothedOver);
            knot = Enumerable.Range(near - SmoothedOver + 1, 2 * SmoothedOver - 1).MaxBy(n => bends[n - 1] - 1e-9 * period * n);
            if (bends[knot - 1] < 4 * (resolutionSeconds + jitter)) unsure.Add(knot);
            pieces.Dequeue();
            pieces.Enqueue((first, knot), first - knot);
            pieces.Enqueue((knot + 1, last), knot + 1 - last);
        }
        (int from, int to) = pieces.Peek();
        // Where that is not plain, the frames about a change of rate may belong to either side.
        if (to - from <= 8 * EdgeFrames) return (from, to);
        if (unsure.Contains(from - 1)) from += EdgeFrames;
        if (unsure.Contains(to)) to -= EdgeFrames;
        return (from, to);
    }

    private static double[] Smooth(double[] values) =>
        [.. Enumerable.Range(0, Math.Max(1, values.Length - SmoothedOver + 1)).Select(n => values.Skip(n).Take(SmoothedOver).Average())];

    /// <summary>Standard deviation (in periods) of the stamps around a straight line over the ticks; the slope is fixed when a period is given.</summary>
    private static double Jitter(double[] seconds, int[] ticks, double? period, out double fittedPeriod, out double periodDeviation)
    {
        double[] rest = Rest(seconds, ticks, period, out fittedPeriod, out double squaredTicks);
        double deviation = Math.Sqrt(rest.Sum(r => r * r) / Math.Max(1, ticks.Length - 2));
        periodDeviation = deviation / Math.Sqrt(squaredTicks);
        return deviation / fittedPeriod;
    }

    /// <summary>How far each stamp lies from the straight line over the ticks, seconds; the slope is fixed when a period is given.</summary>
    private static double[] Rest(double[] seconds, int[] ticks, double? period, out double fittedPeriod, out double squaredTicks)
    {
        double meanTick = ticks.Average(t => (double)t), meanTime = seconds.Average();
        double above = 0, below = 0;
        for (int n = 0; n < ticks.Length; n++)
        {
            above += (ticks[n] - meanTick) * (seconds[n] - meanTime);
            below += (ticks[n] - meanTick) * (ticks[n] - meanTick);
        }
        double slope = fittedPeriod = period ?? above / below;
        squaredTicks = below;
        return [.. seconds.Select((t, n) => t - meanTime - slope * (ticks[n] - meanTick))];
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
