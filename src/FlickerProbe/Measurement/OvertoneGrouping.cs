using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Sorts tones into fundamentals with their overtones, and names those that are sums and differences of two groups.</summary>
/// <remarks>In the plane an overtone lies at whole multiples of its fundamental along both axes at once, folded at one cycle per tick and per
/// line; a product of two periodic lights (a pulsed dimmer over mains ripple) has lines at a·f₁ ± b·f₂.</remarks>
internal static class OvertoneGrouping
{
    /// <summary>Highest overtone number looked for.</summary>
    public const int HighestOvertone = 64;

    /// <summary>Share of a light's strongest tone under which no other decides what its fundamental is.</summary>
    private const double FaintShare = 0.01;

    /// <summary>Highest multiples in sums and differences.</summary>
    private const int HighestInCombination = 4;

    /// <summary>Overtones found, the fundamental among them, that make a train of pulses.</summary>
    public const int PulseSeries = 5;

    /// <summary>Times that ripple is looked for beside the high overtones of a train.</summary>
    private static readonly int[] BesideOvertone = [1, -1, 2, -2];

    /// <summary>A fundamental's place in the plane and the tones that follow it.</summary>
    /// <param name="X">Cycles per tick.</param>
    /// <param name="Nu">Cycles per line.</param>
    /// <param name="Members">(index of the tone, overtone number, whether the tone is stored as the mirror image).</param>
    internal sealed record ToneGroup(double X, double Nu, List<(int Tone, int Multiple, bool Mirrored)> Members);

    /// <summary>A tone at A·first + B·second group's fundamental.</summary>
    internal sealed record Combination(int Tone, int FirstGroup, int A, int SecondGroup, int B, bool Mirrored);

    /// <summary>The sorting.</summary>
    internal sealed record Grouping(List<ToneGroup> Groups, List<Combination> Combinations);

    /// <summary>Sorts the tones.</summary>
    /// <param name="tones">The tones.</param>
    /// <param name="matrix">The take.</param>
    /// <param name="loss">What the encoder may have done to them.</param>
    public static Grouping Sort(IReadOnlyList<PlaneTone> tones, LightMatrix matrix, CompressionLoss loss)
    {
        tones = [.. tones.Select(t => Pulled(t, matrix, loss))];
        var groups = new List<ToneGroup>();
        var combinations = new List<Combination>();
        // What was fitted as a sum is one; its two tones come first.
        var open = new HashSet<int>(Enumerable.Range(0, tones.Count).Where(i => tones[i].AlsoTiedTo < 0));
        double[] weight = [.. tones.Select((t, i) => tones.Where(o => o.AlsoTiedTo >= 0 && o.TiedTo == i).Select(o => o.Amplitude).Append(t.Amplitude).Max())];
        int ripple = Ripple(tones);
        while (open.Count > 0)
        {
            bool isRipple = groups.Count == 0 && ripple >= 0;
            int strongest = isRipple ? ripple : open.MaxBy(i => weight[i]);
            if (groups.Count >= 2 && FindCombination(tones, strongest, groups, matrix) is { } combination)
            {
                combinations.Add(combination);
                open.Remove(strongest);
                continue;
            }
            // Ripple that comes first leaves alone what was fitted as an overtone of another.
            ToneGroup best = Explain(tones, isRipple ? [.. open.Where(i => tones[i].TiedTo < 0 || tones[i].TiedTo == ripple || i == ripple)] : open, strongest, 1, 0, matrix);
            for (int divisor = 2; divisor <= 4 && strongest != ripple; divisor++)
            {
                for (int q = 0; q < divisor; q++)
                {
                    ToneGroup other = Explain(tones, open, strongest, divisor, q, matrix);
                    // A lower fundamental must be seen itself and explain more than the plain reading.
                    bool seen = other.Members.Exists(m => m.Multiple == 1 && !EncoderEcho.IsSmear(tones[m.Tone], tones[strongest], matrix, loss));
                    if (seen && other.Members.Count > best.Members.Count && IsNeeded(tones, other, divisor, tones[strongest])) best = other;
                }
            }
            groups.Add(best);
            foreach ((int tone, int _, bool _) in best.Members) open.Remove(tone);
        }
        for (int i = 0; i < tones.Count; i++)
        {
            if (tones[i].AlsoTiedTo < 0) continue;
            if (Fitted(tones[i], i, groups, combinations) is { } sum) combinations.Add(sum);
            else groups.Add(Explain(tones, [i], i, 1, 0, matrix));
        }
        return new Grouping(groups, combinations);
    }

    /// <summary>The tone that the strongest sums were fitted with; −1 without sums. Faint ones are fitted with any tone that happens to stand alone.</summary>
    private static int Ripple(IReadOnlyList<PlaneTone> tones) =>
        tones.Where(t => t.AlsoTiedTo >= 0).GroupBy(t => t.AlsoTiedTo).OrderByDescending(sums => sums.Sum(t => t.Amplitude)).Select(sums => sums.Key).FirstOrDefault(-1);

    /// <summary>Whether more than faint tones, of which a few fall on any grid, call for a fundamental so many times lower.</summary>
    private static bool IsNeeded(IReadOnlyList<PlaneTone> tones, ToneGroup group, int divisor, PlaneTone strongest) =>
        group.Members.Exists(m => m.Multiple % divisor != 0 && tones[m.Tone].Amplitude > FaintShare * strongest.Amplitude);

    /// <summary>A tone that was fitted as a sum, in terms of the groups; null when they share no two of them.</summary>
    private static Combination? Fitted(PlaneTone tone, int index, List<ToneGroup> groups, List<Combination> combinations)
    {
        // Each of the two as whole multiples of at most two groups' fundamentals.
        Dictionary<int, int> Place(int of, int times)
        {
            int group = groups.FindIndex(g => g.Members.Exists(m => m.Tone == of));
            if (group >= 0)
            {
                (int _, int multiple, bool mirrored) = groups[group].Members.Find(m => m.Tone == of);
                return new() { [group] = times * (mirrored ? -multiple : multiple) };
            }
            if (combinations.Find(c => c.Tone == of) is not { } sum) return [];
            int sign = sum.Mirrored ? -times : times;
            return new() { [sum.FirstGroup] = sign * sum.A, [sum.SecondGroup] = sign * sum.B };
        }
        Dictionary<int, int> whole = Place(tone.TiedTo, tone.Multiple);
        foreach ((int group, int times) in Place(tone.AlsoTiedTo, tone.AlsoMultiple)) whole[group] = whole.GetValueOrDefault(group) + times;
        (int Group, int Times)[] parts = [.. whole.Where(p => p.Value != 0).Select(p => (p.Key, p.Value))];
        if (parts.Length != 2) return null;
        bool turned = parts[0].Times < 0;
        int flip = turned ? -1 : 1;
        return new Combination(index, parts[0].Group, flip * parts[0].Times, parts[1].Group, flip * parts[1].Times, turned);
    }

    /// <summary>With the deviations of its place widened by what the encoder may have pulled it.</summary>
    private static PlaneTone Pulled(PlaneTone tone, LightMatrix matrix, CompressionLoss loss)
    {
        double cells = loss.CellsPulled(tone.Amplitude, ToneModel.IsSlow(tone, matrix));
        return tone with { XDeviation = double.Hypot(tone.XDeviation, cells / matrix.Ticks), NuDeviation = double.Hypot(tone.NuDeviation, cells / matrix.Lines) };
    }

    private static ToneGroup Explain(IReadOnlyList<PlaneTone> tones, HashSet<int> open, int strongest, int divisor, int q, LightMatrix matrix)
    {
        PlaneTone base0 = tones[strongest];
        // Fundamentals are kept on the ν ≥ 0 side, where a top-to-bottom readout puts positive frequencies.
        // A tone that follows no other may sit a whole cycle per line off, left there by a fundamental that has gone.
        (double alias, double own) = base0.TiedTo < 0 ? matrix.Wrapped(base0.X, base0.Nu) : (base0.X, base0.Nu);
        double sign = own < 0 ? -1 : 1;
        double x = (sign * alias + q) / divisor, nu = sign * own / divisor;
        var members = new List<(int, int, bool)>();
        foreach (int i in open)
        {
            if (i == strongest)
            {
                members.Add((i, divisor, sign < 0));
                continue;
            }
            for (int multiple = 1; multiple <= HighestOvertone; multiple++)
            {
                if (multiple == divisor) continue;
                if (Matches(tones[i], multiple * x, multiple * nu, base0, (double)multiple / divisor, matrix) is { } mirrored)
                {
                    members.Add((i, multiple, mirrored));
                    break;
                }
            }
        }
        return new ToneGroup(ToneSearch.Wrap(x), nu, members);
    }

    private static Combination? FindCombination(IReadOnlyList<PlaneTone> tones, int tone, List<ToneGroup> groups, LightMatrix matrix)
    {
        PlaneTone[] strongest = [.. groups.Select(g => tones[g.Members.MaxBy(m => tones[m.Tone].Amplitude).Tone])];
        foreach ((int g, int a, int h, int b) in LowSums(groups.Count).Concat(SumsBesideOvertones(groups, strongest)))
        {
            double x = a * groups[g].X + b * groups[h].X, nu = a * groups[g].Nu + b * groups[h].Nu;
            if (Matches(tones[tone], x, nu, strongest[g], a + Abs(b), matrix) is { } mirrored) return new Combination(tone, g, a, h, b, mirrored);
        }
        return null;
    }

    /// <summary>Sums and differences of low multiples of two groups, the lowest first.</summary>
    private static IEnumerable<(int G, int A, int H, int B)> LowSums(int groups) =>
        from order in Enumerable.Range(2, 2 * HighestInCombination - 1)
        from g in Enumerable.Range(0, groups)
        from h in Enumerable.Range(0, groups)
        where g != h
        from a in Enumerable.Range(1, order - 1)
        where a <= HighestInCombination && order - a <= HighestInCombination
        from sign in h > g ? new[] { 1, -1 } : [-1]
        select (g, a, h, sign * (order - a));

    /// <summary>Ripple works on every pulse alike: a train of them has it beside its high overtones too.</summary>
    private static IEnumerable<(int G, int A, int H, int B)> SumsBesideOvertones(List<ToneGroup> groups, PlaneTone[] strongest) =>
        from train in Enumerable.Range(0, groups.Count)
        where groups[train].Members.Count >= PulseSeries
        from a in Enumerable.Range(1, groups[train].Members.Max(m => m.Multiple))
        where a > HighestInCombination
        from b in BesideOvertone
        from h in Enumerable.Range(0, groups.Count)
        where h != train && strongest[h].Amplitude > FaintShare * strongest[train].Amplitude
        select (train, a, h, b);

    /// <summary>Null when the tone does not lie there; else whether its mirror image does.</summary>
    private static bool? Matches(PlaneTone tone, double x, double nu, PlaneTone from, double multiple, LightMatrix matrix)
    {
        double reachX = Min(0.25 / matrix.Ticks, 4 * double.Hypot(tone.XDeviation, multiple * from.XDeviation)) + 0.05 / matrix.Ticks;
        double reachNu = Min(0.4 / matrix.Lines, 4 * double.Hypot(tone.NuDeviation, multiple * from.NuDeviation)) + 0.1 / matrix.Lines;
        bool Near(double tx, double tnu) => matrix.Wrapped(tx - x, tnu - nu) is var (alias, bands) && Abs(alias) < reachX && Abs(bands) < reachNu;
        if (Near(tone.X, tone.Nu)) return false;
        if (Near(-tone.X, -tone.Nu)) return true;
        return null;
    }
}
