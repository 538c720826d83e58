using System.Text;
using FlickerProbe.Validation.Cases;
using static System.FormattableString;

namespace FlickerProbe.Validation.Scoring;

/// <summary>The figures of whole evenings: verdicts after several takes, held against the truth format by format.</summary>
public static class EveningFigures
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
            Row($"shot at {rates}: harmless (≤ 0.4 %) that passed", "", Tally.Count(Harmless(results), f => f.Verdict == "pass"));
            Row($"shot at {rates}: plain flicker (≥ 5 %) that failed", "", Tally.Count(Measured(results).Where(f => f.TrueDepth >= 0.05), f => f.Verdict == "fail"));
        }
        Row("refused auditions", "", Tally.Count(all, r => r.Refusal is not null), asNumber: true);
        return text.ToString();

        void Row(string figure, string goal, Tally tally, bool asNumber = false) => text.AppendLine(asNumber
            ? Invariant($"| {figure} | {goal} | {tally.Hits} | of {tally.Of} |")
            : Invariant($"| {figure} | {goal} | {FiguresText.Percent(tally)} | {tally.Hits} of {tally.Of} |"));
    }

    private static IEnumerable<FormatOutcome> Measured(IEnumerable<EveningResult> results) => results.SelectMany(r => r.Formats).Where(f => f.Verdict is not null);

    private static IEnumerable<FormatOutcome> Harmless(IEnumerable<EveningResult> results) => Measured(results).Where(f => f.TrueDepth <= CaseScore.HarmlessDepth);
}
