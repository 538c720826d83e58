using FlickerProbe.Validation.Cases;
using static System.FormattableString;

namespace FlickerProbe.Validation.Scoring;

/// <summary>The cases that went worst, and why, in a line.</summary>
internal static class WorstCases
{
    /// <summary>Worst first; cases without fault are left out.</summary>
    public static IEnumerable<CaseScore> Of(IEnumerable<CaseScore> scores) =>
        scores.Select(s => (Score: s, Badness: Badness(s))).Where(s => s.Badness > 0).OrderByDescending(s => s.Badness).ThenBy(s => s.Score.Case.Seed).Select(s => s.Score);

    /// <summary>A wrong pass outweighs all else; then a wrong fail, wrong frequencies, missed tones, depth not held.</summary>
    private static double Badness(CaseScore s)
    {
        if (s.Measured.Refusal is not null) return 50;
        double bad = 0;
        if (s.WrongPass) bad += 1000 + 100 * s.Truth.DepthOnCamera;
        if (s.WrongFail) bad += 500;
        if (s.FundamentalHeld == false) bad += 40;
        bad += 20 * Math.Min(3, s.ConfidentFrequencies().Count(f => f.Gross)) + 5 * Math.Min(3, s.ConfidentFrequencies().Count(f => !f.Held));
        bad += 10 * Math.Min(3, s.TonesToFind.Count(t => t.ByFrequency is null));
        if (s.DepthHeld == false) bad += 15 + Math.Min(20, 20 * Outside(s));
        return bad;
    }

    /// <summary>How far the true depth lies outside the interval, as a share of itself.</summary>
    private static double Outside(CaseScore s) => s.Measured.Depth is not { } d || s.Truth.DepthOnCamera <= 0 ? 1
        : Math.Max(d.Low - s.Truth.DepthOnCamera, s.Truth.DepthOnCamera - d.High) / s.Truth.DepthOnCamera;

    /// <summary>Seed, what the clip was, what went wrong.</summary>
    public static string Line(CaseScore s) => Invariant($"seed {s.Case.Seed}: {Why(s)}. [{s.Case.Summary()}]");

    /// <summary>What went wrong, most serious first.</summary>
    public static string Why(CaseScore s)
    {
        if (s.Measured.Refusal is { } refusal) return "refused: " + refusal;
        List<string> why = [];
        if (s.WrongPass) why.Add(Invariant($"passed at a true depth of {s.Truth.DepthOnCamera:P1}"));
        if (s.WrongFail) why.Add(Invariant($"failed at a true depth of {s.Truth.DepthOnCamera:P2}"));
        if (s.FundamentalHeld == false)
            why.Add(Invariant($"stated a fundamental of {s.Measured.FundamentalHz!.Value.Value:0.###} Hz ± {(s.Measured.FundamentalHz.Value.High - s.Measured.FundamentalHz.Value.Low) / 2:0.####}, true {string.Join(" and ", s.Truth.FundamentalsHz.Select(f => Invariant($"{f:0.###}")))}"));
        int gross = s.ConfidentFrequencies().Count(f => f.Gross), off = s.ConfidentFrequencies().Count(f => !f.Held) - gross, missed = s.TonesToFind.Count(t => t.ByFrequency is null);
        if (gross > 0) why.Add(Invariant($"{gross} stated frequencies are of nothing there (up to {s.ConfidentFrequencies().Where(f => f.Gross).Max(f => f.Tone.Amplitude.Value):P2})"));
        if (off > 0) why.Add(Invariant($"{off} frequencies just outside their interval"));
        if (missed > 0) why.Add(Invariant($"{missed} of {s.TonesToFind.Count()} tones not found (largest {s.TonesToFind.Where(t => t.ByFrequency is null).Max(t => t.Truth.OnCamera):P1})"));
        if (s.DepthHeld == false)
            why.Add(Invariant($"depth {s.Measured.Depth!.Value.Value:P2} [{s.Measured.Depth.Value.Low:P2}, {s.Measured.Depth.Value.High:P2}], true {s.Truth.DepthOnCamera:P2}"));
        return string.Join("; ", why);
    }
}
