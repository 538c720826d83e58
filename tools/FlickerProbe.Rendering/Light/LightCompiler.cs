namespace FlickerProbe.Rendering.Light;

/// <summary>Turns waveforms into nodes that share one set of rhythms.</summary>
internal sealed class LightCompiler
{
    public RhythmSet Rhythms { get; } = new();

    public LightNode Compile(Waveform waveform) => waveform switch
    {
        SteadyLight s => new SteadyNode(s.Output),
        TonesLight t => new TonesNode(t.Mean, Positive(t.FundamentalHz), t.Harmonics, Rhythms.IndexOf(t.FundamentalHz, t.MainsLocked)),
        PulseLight p => Pulse(p),
        PolylineLight p => Polyline(p),
        RectifiedLight r => new RectifiedNode(Positive(r.MainsHz), r.FullWave, r.PhaseCycles, Rhythms.IndexOf(r.MainsHz, r.MainsLocked)),
        ProductLight p => new ProductNode([.. p.Parts.Select(Compile)]),
        SumLight s => new SumNode([.. s.Parts.Select(Compile)]),
        _ => throw new ArgumentException($"No arithmetic for a waveform of type {waveform.GetType().Name}."),
    };

    /// <summary>The weighted sum of lights, which the compiler made before.</summary>
    public static LightNode Mix(IEnumerable<(double Weight, LightNode Light)> parts) =>
        new SumNode([.. parts.Select(p => (LightNode)new ProductNode([new SteadyNode(p.Weight), p.Light]))]);

    private PolylineNode Pulse(PulseLight p)
    {
        double period = 1 / Positive(p.FrequencyHz), width = p.Duty * period, edge = p.EdgeSeconds;
        if (p.Duty is < 0 or > 1) throw new ArgumentException($"A duty of {p.Duty} is not between 0 and 1.");
        if (p.Duty > 0 && p.Duty < 1 && edge > Math.Min(width, period - width))
            throw new ArgumentException($"An edge of {edge} s does not fit a pulse of {width} s in a period of {period} s.");

        List<(double, double)> cycle = p.Duty switch
        {
            0 => [(0, p.Low), (period, p.Low)],
            1 => [(0, p.High), (period, p.High)],
            // Time zero of the table is the foot of the rising edge.
            _ => [(0, p.Low), (edge, p.High), (width, p.High), (width + edge, p.Low), (period, p.Low)],
        };
        // Half way up the edge is half an edge after the foot.
        return new PolylineNode(p.FrequencyHz, Turned(cycle, period, p.PhaseCycles * period + edge / 2), Rhythms.IndexOf(p.FrequencyHz, p.MainsLocked));
    }

    private PolylineNode Polyline(PolylineLight p)
    {
        double period = 1 / Positive(p.FrequencyHz);
        if (p.Points.Count == 0) throw new ArgumentException("A polyline needs a point.");
        List<(double Time, double Level)> cycle = [.. p.Points.Select(q => (q.Cycle * period, q.Output))];
        // Close the ring: from the last point to the first one of the next period.
        double gap = p.Points[0].Cycle + 1 - p.Points[^1].Cycle;
        double atZero = gap <= 0 ? p.Points[0].Output
            : p.Points[^1].Output + (p.Points[0].Output - p.Points[^1].Output) * (1 - p.Points[^1].Cycle) / gap;
        if (p.Points[0].Cycle > 0) cycle.Insert(0, (0, atZero));
        if (p.Points[^1].Cycle < 1) cycle.Add((period, atZero));
        return new PolylineNode(p.FrequencyHz, cycle, Rhythms.IndexOf(p.FrequencyHz, p.MainsLocked));
    }

    /// <summary>The cycle started <paramref name="shift"/> seconds later in itself.</summary>
    private static List<(double Time, double Level)> Turned(List<(double Time, double Level)> cycle, double period, double shift)
    {
        shift -= Math.Floor(shift / period) * period;
        if (shift == 0) return cycle;
        int next = cycle.FindIndex(p => p.Time > shift);
        (double t0, double l0) = cycle[next - 1];
        (double t1, double l1) = cycle[next];
        double cut = l0 + (l1 - l0) * (shift - t0) / (t1 - t0);
        List<(double, double)> turned = [(0, cut)];
        turned.AddRange(cycle[next..].Select(p => (p.Time - shift, p.Level)));
        turned.AddRange(cycle[..next].Select(p => (p.Time - shift + period, p.Level)));
        turned.Add((period, cut));
        return turned;
    }

    private static double Positive(double hertz) =>
        hertz > 0 && double.IsFinite(hertz) ? hertz : throw new ArgumentException($"A frequency must be above zero, not {hertz} Hz.");
}
