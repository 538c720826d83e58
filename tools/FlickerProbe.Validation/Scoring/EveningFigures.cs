using System.Text;
using FlickerProbe.Validation.Cases;
using static System.FormattableString;

namespace FlickerProbe.Validation.Scoring;

/// <summary>The figures of whole evenings: verdicts after several takes, held against the truth format by format.</summary>
internal static class EveningFigures
{
    /// <summary>Formats that passed though they show 3 % or more.</summary>
    public static Tally WrongPasses(IEnumerable<EveningResult> results) =>
        Tally.Count(Measured(results).Where(f => f.TrueDepth >= CaseScore.VisibleDepth), f => f.Verdict == "pass");

    /// <summary>Formats that failed though they show 0.4 % or less.</summary>
    public static Tally WrongFails(IEnumerable<EveningResult> results) => Tally.Count(Harmless(results), f => f.Verdict == "fail");

    /// <summary>Depth intervals that hold the truth.</summary>
    public static Tally Held(IEnumerable<EveningResult> results) => Tally.Count(Measured(results).Where(f => f.Depth is not null), f => f.Depth!.Value.Holds(f.TrueDepth));

    internal static string Table(IReadOnlyList<(EveningCase Evening, EveningResult Result)> evenings)
    {
        List<EveningResult> all = [.. evenings.Select(e => e.Result)];
        StringBuilder text = new();
        text.AppendLine("| figure | goal | result | counted |");
        text.AppendLine("|---|---|---|---|");
        Row("pass for a format that shows ≥ 3 %", "0", WrongPasses(all), asNumber: true);
        Row("fail for a format that shows ≤ 0.4 %", "0", WrongFails(all), asNumber: true);
        Row("95 % intervals of the depth that hold the truth", "≥ 93 %", Held(all));
        foreach (IGrouping<int, (EveningCase Evening, EveningResult Result)> group in evenings.GroupBy(e => e.Evening.Takes.Select(t => t.Recipe.FrameRate).Distinct().Count()).OrderBy(g => g.Key))
        {
            List<EveningResult> results = [.. group.Select(e => e.Result)];
            string rates = group.Key == 1 ? "one frame rate" : Invariant($"{group.Key} frame rates");
            Row($"shot at {rates}: harmless (≤ 0.4 %) that passed", "", HarmlessPassed(results));
            Row($"shot at {rates}: plain flicker (≥ 5 %) that failed", "", PlainFailed(results));
        }
        Row("refused auditions", "", Tally.Count(all, r => r.Refusal is not null), asNumber: true);
        return text.ToString();

        void Row(string figure, string goal, Tally tally, bool asNumber = false) => text.AppendLine(asNumber
            ? Invariant($"| {figure} | {goal} | {tally.Hits} | of {tally.Of} |")
            : Invariant($"| {figure} | {goal} | {FiguresText.Percent(tally)} | {tally.Hits} of {tally.Of} |"));
    }

    /// <summary>What follows from doing what the program asks, take by take.</summary>
    internal static string AskedTable(IReadOnlyList<AskedResult> asked)
    {
        StringBuilder text = new();
        text.AppendLine("| takes | wrong passes (≥ 3 %) | wrong fails (≤ 0.4 %) | harmless that passed | plain flicker (≥ 5 %) that failed | depth held | evenings settled | open, but nothing more asked for |");
        text.AppendLine("|---|---|---|---|---|---|---|---|");
        for (int takes = 1; takes <= EveningRunner.MostTakes; takes++)
        {
            List<EveningResult> now = [.. asked.Select(a => a.After[Math.Min(takes, a.After.Count) - 1])];
            Tally wrongPasses = WrongPasses(now), wrongFails = WrongFails(now), passed = HarmlessPassed(now), failed = PlainFailed(now);
            text.AppendLine(Invariant($"| {takes} | {wrongPasses.Hits} of {wrongPasses.Of} | {wrongFails.Hits} of {wrongFails.Of} | {FiguresText.Percent(passed)} of {passed.Of} | {FiguresText.Percent(failed)} of {failed.Of} | {FiguresText.Percent(Held(now))} | {now.Count(r => r.IsSettled)} of {now.Count} | {now.Count(r => !r.IsSettled && r.NextTake is null)} |"));
        }
        return text.ToString();
    }

    private static Tally HarmlessPassed(IEnumerable<EveningResult> results) => Tally.Count(Harmless(results), f => f.Verdict == "pass");

    private static Tally PlainFailed(IEnumerable<EveningResult> results) =>
        Tally.Count(Measured(results).Where(f => f.TrueDepth >= CaseScore.PlainDepth), f => f.Verdict == "fail");

    private static IEnumerable<FormatOutcome> Measured(IEnumerable<EveningResult> results) => results.SelectMany(r => r.Formats).Where(f => f.Verdict is not null);

    private static IEnumerable<FormatOutcome> Harmless(IEnumerable<EveningResult> results) => Measured(results).Where(f => f.TrueDepth <= CaseScore.HarmlessDepth);
}
