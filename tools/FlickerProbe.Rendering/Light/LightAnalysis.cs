using System.Numerics;

namespace FlickerProbe.Rendering.Light;

/// <summary>One spectral line of a light.</summary>
/// <param name="FrequencyHz">Frequency, Hz.</param>
/// <param name="Amplitude">Amplitude relative to the mean, 0…</param>
public sealed record LightComponent(double FrequencyHz, double Amplitude);

/// <summary>What is true of a waveform, by definition and brute force rather than by estimation.</summary>
/// <remarks>
/// Rhythms that share no clock drift through every combination of their phases, so extremes are sought over all
/// of them (a torus), not over one stretch of time. For one rhythm that is simply its period.
/// </remarks>
public sealed class LightAnalysis
{
    private readonly LightNode _node;
    private readonly RhythmSet _rhythms;
    private readonly int[] _used;

    internal LightAnalysis(LightNode node, RhythmSet rhythms)
    {
        _node = node;
        _rhythms = rhythms;
        SortedSet<int> used = [];
        node.AddRhythms(used);
        _used = [.. used];
    }

    /// <summary>The analysis of one waveform.</summary>
    public static LightAnalysis Of(Waveform waveform)
    {
        LightCompiler compiler = new();
        return new LightAnalysis(compiler.Compile(waveform), compiler.Rhythms);
    }

    /// <summary>Mean output.</summary>
    public double Mean => _node.Mean;

    /// <summary>Modulation depth of the light itself: (max − min)/(max + min), 0…1.</summary>
    public double ModulationDepth()
    {
        (double min, double max) = Extremes(clock => _node.At(0, clock));
        return Depth(min, max);
    }

    /// <summary>Flicker index of the light itself: area above the mean over total area, 0…1 (IEV 845-22-094).</summary>
    public double FlickerIndex()
    {
        double mean = Mean, sum = 0;
        long count = 0;
        // Area above the mean equals that below, so half of the mean deviation.
        OverGrid(PointsPerRhythm(1 << 18, 512, 64), 0.5, (_, clock) =>
        {
            sum += Math.Abs(_node.At(0, clock) - mean);
            count++;
        });
        return mean > 0 ? sum / count / (2 * mean) : 0;
    }

    /// <summary>
    /// Modulation depth after an exposure of <paramref name="exposureSeconds"/>: (max − min)/(max + min) of the
    /// exact exposure average over all moments at which the exposure can begin. Frame rate and readout have no part in it.
    /// </summary>
    public double OnCameraDepth(double exposureSeconds)
    {
        (double min, double max) = OnCameraExtremes(exposureSeconds);
        return Depth(min, max);
    }

    /// <summary>Least and greatest exposure average over all moments at which the exposure can begin.</summary>
    public (double Min, double Max) OnCameraExtremes(double exposureSeconds) =>
        Extremes(clock => _node.Integral(-exposureSeconds / 2, exposureSeconds / 2, clock) / exposureSeconds, exposureSeconds);

    /// <summary>The spectral lines whose amplitude is at least <paramref name="floor"/> of the mean, strongest first.</summary>
    public IReadOnlyList<LightComponent> Components(double floor = 1e-3, double topHz = 50_000)
    {
        double mean = Mean;
        if (!(mean > 0)) return [];
        Dictionary<double, Complex> lines = _node.Lines(floor * mean / 50, topHz);
        return [.. lines
            .Where(l => l.Key > 0)
            .Select(l => new LightComponent(l.Key, 2 * l.Value.Magnitude / mean))
            .Where(c => c.Amplitude >= floor)
            .OrderByDescending(c => c.Amplitude)];
    }

    /// <summary>Average over an exposure centred at <paramref name="centreSeconds"/>, all clocks starting together at zero.</summary>
    public double ExposureAverage(double centreSeconds, double exposureSeconds) =>
        _node.Integral(centreSeconds - exposureSeconds / 2, centreSeconds + exposureSeconds / 2, new Clockwork(_rhythms.Rhythms.Count)) / exposureSeconds;

    /// <summary>The same average by Gauss–Legendre piece by piece: the slow twin of the closed forms.</summary>
    public double ExposureAverageByPieces(double centreSeconds, double exposureSeconds) =>
        _node.IntegralByPieces(centreSeconds - exposureSeconds / 2, centreSeconds + exposureSeconds / 2, new Clockwork(_rhythms.Rhythms.Count)) / exposureSeconds;

    /// <summary>Output at one moment, all clocks starting together at zero.</summary>
    public double At(double seconds) => _node.At(seconds, new Clockwork(_rhythms.Rhythms.Count));

    private static double Depth(double min, double max) => max + min > 0 ? (max - min) / (max + min) : 0;

    private int PointsPerRhythm(int one, int two, int three) => _used.Length switch
    {
        <= 1 => one,
        2 => two,
        3 => three,
        // Four and more: the whole torus would take minutes; the refinement below does the rest.
        _ => (int)Math.Max(5, Math.Pow(300_000, 1.0 / _used.Length)),
    };

    private void OverGrid(int points, double within, Action<double[], Clockwork> visit)
    {
        Clockwork clock = new(_rhythms.Rhythms.Count);
        if (_used.Length == 0)
        {
            visit([], clock);
            return;
        }

        int[] index = new int[_used.Length];
        double[] shift = new double[_used.Length];
        while (true)
        {
            for (int g = 0; g < shift.Length; g++) shift[g] = (index[g] + within) / points;
            Set(clock, shift);
            visit(shift, clock);
            int digit = 0;
            while (digit < index.Length && ++index[digit] == points) index[digit++] = 0;
            if (digit == index.Length) return;
        }
    }

    private void Set(Clockwork clock, double[] shift)
    {
        for (int g = 0; g < shift.Length; g++) clock.OffsetSeconds[_used[g]] = shift[g] * _rhythms.Rhythms[_used[g]].PeriodSeconds;
    }

    private (double Min, double Max) Extremes(Func<Clockwork, double> value, double exposureSeconds = 0)
    {
        const int Kept = 6;
        // Enough points that the fastest feature of each rhythm's period is not stepped over.
        int points = PointsPerRhythm(4096, 160, 36);
        List<(double Value, double[] Shift)> low = [], high = [];
        OverGrid(points, 0, (shift, clock) =>
        {
            double v = value(clock);
            Keep(low, v, shift, (a, b) => a < b);
            Keep(high, v, shift, (a, b) => a > b);
        });
        if (_used.Length == 1 && BreakShifts(exposureSeconds) is { Count: > 0 } breaks)
        {
            // A box over a pulse train has its extremes where an end of the box meets an edge: try those exactly.
            Clockwork clock = new(_rhythms.Rhythms.Count);
            foreach (double b in breaks)
            {
                double[] shift = [b];
                Set(clock, shift);
                double v = value(clock);
                Keep(low, v, shift, (x, y) => x < y);
                Keep(high, v, shift, (x, y) => x > y);
            }
        }

        double min = low.Min(c => Refined(value, c.Shift, c.Value, points, -1));
        double max = high.Max(c => Refined(value, c.Shift, c.Value, points, +1));
        return (min, max);

        static void Keep(List<(double Value, double[] Shift)> best, double v, double[] shift, Func<double, double, bool> better)
        {
            if (best.Count == Kept && !better(v, best[^1].Value)) return;
            int at = best.FindIndex(b => better(v, b.Value));
            best.Insert(at < 0 ? best.Count : at, (v, (double[])shift.Clone()));
            if (best.Count > Kept) best.RemoveAt(Kept);
        }
    }

    /// <summary>Shifts (in periods) that put a jump of the light at either end of the exposure.</summary>
    private List<double> BreakShifts(double exposureSeconds)
    {
        double period = _rhythms.Rhythms[_used[0]].PeriodSeconds;
        List<double> at = [];
        _node.AddBreakpoints(-period / 1e6, period, new Clockwork(_rhythms.Rhythms.Count), at);
        if (at.Count > 2000) return [];
        List<double> shifts = [];
        foreach (double b in at)
        {
            // Own time = shift + t; an edge at own time b meets t = ±Te/2 when shift = b ∓ Te/2.
            foreach (double end in new[] { -exposureSeconds / 2, exposureSeconds / 2 })
            {
                double s = (b - end) / period;
                shifts.Add(s - Math.Floor(s));
            }
        }

        return shifts;
    }

    /// <summary>Pattern search from a grid point: halve the step until it no longer matters.</summary>
    private double Refined(Func<Clockwork, double> value, double[] from, double best, int points, int sign)
    {
        if (from.Length == 0) return best;
        Clockwork clock = new(_rhythms.Rhythms.Count);
        double[] at = (double[])from.Clone(), trial = new double[at.Length];
        int rounds = (int)Math.Pow(3, Math.Min(at.Length, 4));
        for (double step = 0.5 / points; step > 1e-10;)
        {
            bool moved = false;
            for (int code = 0; code < rounds; code++)
            {
                int c = code;
                for (int g = 0; g < at.Length; g++, c /= 3) trial[g] = at[g] + (g < 4 ? (c % 3 - 1) * step : 0);
                Set(clock, trial);
                double v = value(clock);
                if (sign * (v - best) <= 0) continue;
                best = v;
                trial.CopyTo(at, 0);
                moved = true;
                break;
            }

            if (!moved) step /= 2;
        }

        return best;
    }
}
