using System.Text.Json;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Robustness.Running;

/// <summary>Whether a call ended as the contract promises.</summary>
internal static class EndingJudge
{
    private static readonly int[] Promised = [0, 1, 2, 3, 4, 130];

    /// <summary>The verdict, if there is a result, and all that is wrong.</summary>
    /// <param name="trial">What was tried.</param>
    /// <param name="ending">How it ended.</param>
    /// <param name="before">What lay in the trial's folder before.</param>
    public static (string? Verdict, List<string> Wrong) Judge(Trial trial, Ending ending, IReadOnlySet<string> before)
    {
        List<string> wrong = [];
        if (ending.Status is not { } status)
        {
            wrong.Add(FormattableString.Invariant($"did not end within {trial.Limit.TotalSeconds:0} s"));
            return (null, wrong);
        }
        if (!Promised.Contains(status)) wrong.Add(FormattableString.Invariant($"ended with status {status}: {ending.Refusal}"));
        foreach (string sign in new[] { "   at ", "Unhandled", "flickerprobe itself failed" })
        {
            if (ending.Error.Contains(sign, StringComparison.Ordinal) || ending.Output.Contains(sign, StringComparison.Ordinal)) wrong.Add($"shows '{sign.Trim()}'");
        }
        if (Steers(ending.Error) || Steers(ending.Output)) wrong.Add("sends characters to the terminal that steer it");
        if (status is not (0 or 1)) wrong.AddRange(OfRefusal(ending));
        string? verdict = null;
        List<string> written = [.. TrialRunner.Everything(ending.Folder).Where(path => !before.Contains(path))];
        wrong.AddRange(written.Where(path => path.EndsWith(".part", StringComparison.Ordinal)).Select(path => $"left '{Path.GetFileName(path)}' behind"));
        if (status is 0 or 1)
        {
            string json = Path.Combine(ending.Out, "result.json");
            if (File.Exists(json)) verdict = Read(json, trial, wrong);
            if (trial.Bound is Bound.Refused or Bound.RefusedInReport) wrong.Add("was not refused");
        }
        else
        {
            if (trial.Bound == Bound.Measured) wrong.Add($"was refused: {ending.Refusal}");
            // An audition without a single good take still says in its report what is missing, and proves nothing.
            bool reports = trial.Bound == Bound.RefusedInReport && status == 3;
            string[] files = reports ? [] : [.. written.Where(File.Exists).Where(path => !path.Contains(".flickerprobe-cache", StringComparison.Ordinal)).Select(Path.GetFileName)!];
            if (files.Length > 0) wrong.Add($"wrote {string.Join(", ", files)} although it was refused");
        }
        if (trial.Also?.Invoke(ending) is { } also) wrong.Add(also);
        return (verdict, wrong);
    }

    /// <summary>Whether a text holds what moves a terminal's cursor, changes its state or turns the reading direction.</summary>
    internal static bool Steers(string text) => text.Any(c => (char.IsControl(c) && c is not ('\n' or '\r')) || c is '\u202E' or '\u2066' or '\u200F');

    private static IEnumerable<string> OfRefusal(Ending ending)
    {
        string sentence = ending.Refusal;
        if (sentence.Length == 0) yield return "was refused without a word";
        else if (!sentence.EndsWith('.')) yield return $"was refused without a whole sentence: {sentence}";
        if (sentence.Length > 3000) yield return "was refused with an endless sentence";
    }

    private static string? Read(string json, Trial trial, List<string> wrong)
    {
        ResultDocument document;
        try
        {
            document = ResultJson.Read(File.ReadAllText(json), json, strict: true);
        }
        catch (Exception problem) when (problem is Units.InputException or JsonException)
        {
            wrong.Add($"wrote a result that can't be read: {problem.Message}");
            return null;
        }
        string verdict = document.Fixtures.Any(f => f.Verdict == "fail") ? "fail" : document.Fixtures.Any(f => f.Verdict == "watch") ? "watch" : "pass";
        bool anyPass = document.Fixtures.Any(f => f.Verdict == "pass");
        if (anyPass && trial.Bound == Bound.NeverPass) wrong.Add("a plainly flickering light got a pass");
        if (anyPass && trial.Bound == Bound.PassOnlyWithWarning && !document.Fixtures.SelectMany(f => f.Levels).SelectMany(l => l.Takes).SelectMany(t => t.Warnings).Any())
            wrong.Add("a pass without any warning");
        return verdict;
    }
}
