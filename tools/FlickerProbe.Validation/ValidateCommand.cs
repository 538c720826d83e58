using System.Collections.Concurrent;
using System.CommandLine;
using System.Globalization;
using FlickerProbe.Validation.Cases;
using FlickerProbe.Validation.Scoring;

namespace FlickerProbe.Validation;

/// <summary>The command line of the validation.</summary>
internal static class ValidateCommand
{
    private static readonly Option<int> Count = new("--count", "-n") { Description = "Clips to render and measure.", DefaultValueFactory = _ => 300 };
    private static readonly Option<int> SeedFrom = new("--seed-from") { Description = "First seed.", DefaultValueFactory = _ => 100_000 };
    private static readonly Option<string[]> Only = new("--only") { Description = "Only cases with property=value, such as light=pulses; repeatable; seeds are tried until enough fit." };
    private static readonly Option<int> Evenings = new("--evenings") { Description = "Whole evenings besides: so many auditions of one lamp, shot in one to three takes.", DefaultValueFactory = _ => 0 };
    private static readonly Option<int> Asked = new("--asked") { Description = "Evenings besides that begin with one careful take and are shot on as the program asks.", DefaultValueFactory = _ => 0 };
    private static readonly Option<int[]> ShowEvening = new("--show-evening") { Description = "Render this seed's evening, keep it with its report, and print the truth beside the verdicts; repeatable." };
    private static readonly Option<int[]> ShowAsked = new("--show-asked") { Description = "Shoot this seed's lamp on as the program asks, keep it all, and print the truth beside the verdicts after each take; repeatable." };
    private static readonly Option<int[]> Show = new("--show") { Description = "Render this seed's clip, keep it, and print the truth beside the measurement; repeatable." };
    private static readonly Option<int> Jobs = new("--jobs", "-j") { Description = "Cases at a time.", DefaultValueFactory = _ => Math.Min(2, Environment.ProcessorCount) };
    private static readonly Option<string> Folder = new("--folder") { Description = "Where results and kept clips go.", DefaultValueFactory = _ => Path.Combine("artifacts", "validation") };
    private static readonly Option<bool> Afresh = new("--afresh") { Description = "Measure again what was measured before." };

    private static readonly Option<string?> Report = new("--report") { Description = "Also write the report in Markdown to this file." };
    private static readonly Option<bool> ListAll = new("--list") { Description = "Also print one line for every case: verdict, depth true and stated, limit, codes." };
    private static readonly Option<bool> Spread = new("--spread") { Description = "Only the spread of the frequency in white noise against the Cramér–Rao bound." };

    public static RootCommand Create()
    {
        RootCommand root = new("Renders clips whose light is known, measures them, and compares: how often is the program right, and do its intervals hold?")
        {
            Count, SeedFrom, Only, Evenings, Asked, Show, ShowEvening, ShowAsked, Jobs, Folder, Afresh, Report, ListAll, Spread,
        };
        root.SetAction(Run);
        return root;
    }

    private static int Run(ParseResult p)
    {
        string folder = p.GetRequiredValue(Folder);
        if (p.GetValue(Show) is { Length: > 0 } shown)
        {
            foreach (int seed in shown) CaseDisplay.Show(seed, folder);
            return 0;
        }
        foreach (int seed in p.GetValue(ShowEvening) ?? []) CaseDisplay.ShowEvening(seed, folder);
        foreach (int seed in p.GetValue(ShowAsked) ?? []) CaseDisplay.ShowAsked(seed, folder);
        if (p.GetValue(ShowEvening) is { Length: > 0 } || p.GetValue(ShowAsked) is { Length: > 0 }) return 0;
        if (p.GetValue(Spread))
        {
            foreach (FrequencySpread s in Spreads(p)) Console.WriteLine(FiguresText.Line(s));
            return 0;
        }
        List<ValidationCase> cases = Pick(p);
        List<CaseScore> scores = Measure(cases, folder, p.GetValue(Jobs), p.GetValue(Afresh));
        List<(EveningCase Evening, EveningResult Result)> evenings = MeasureEvenings(
            [.. Enumerable.Range(p.GetValue(SeedFrom), p.GetValue(Evenings)).Select(EveningCase.FromSeed)], folder, p.GetValue(Jobs), p.GetValue(Afresh));
        Console.WriteLine();
        if (scores.Count > 0) Console.Write(FiguresText.Table(Figures.Of(scores)));
        if (evenings.Count > 0) Console.Write(EveningFigures.Table(evenings));
        List<AskedResult> asked = MeasureAsked([.. Enumerable.Range(p.GetValue(SeedFrom), p.GetValue(Asked)).Select(EveningCase.FirstTake)], folder, p.GetValue(Jobs), p.GetValue(Afresh));
        if (asked.Count > 0) Console.Write(EveningFigures.AskedTable(asked));
        Console.WriteLine();
        foreach (CaseScore s in WorstCases.Of(scores).Take(15)) Console.WriteLine(WorstCases.Line(s));
        if (p.GetValue(ListAll))
        {
            foreach (CaseScore s in scores) Console.WriteLine(CaseDisplay.Line(s));
            foreach ((EveningCase evening, EveningResult result) in evenings) Console.WriteLine(CaseDisplay.Line(evening, result));
            foreach (AskedResult a in asked) Console.WriteLine(CaseDisplay.Line(a));
        }
        if (p.GetValue(Report) is { } report)
        {
            string command = string.Create(CultureInfo.InvariantCulture, $"tools/validate --count {p.GetValue(Count)}{(evenings.Count > 0 ? $" --evenings {evenings.Count}" : "")}{(asked.Count > 0 ? $" --asked {asked.Count}" : "")} --seed-from {p.GetValue(SeedFrom)} --report {report}");
            File.WriteAllText(report, ReportWriter.Write(command, scores, [.. Spreads(p)], evenings, asked));
        }
        return 0;
    }

    private static IEnumerable<FrequencySpread> Spreads(ParseResult p) =>
        Enumerable.Range(1, 6).Select(tens => FrequencySpread.Simulate(10 * tens, 40, p.GetValue(SeedFrom)));

    private static List<ValidationCase> Pick(ParseResult p)
    {
        List<(string Name, string Value)> wanted = [.. (p.GetValue(Only) ?? []).Select(o => o.Split('=', 2)).Select(o => (o[0], o.Length > 1 ? o[1] : ""))];
        List<ValidationCase> cases = [];
        for (int seed = p.GetValue(SeedFrom), tried = 0; cases.Count < p.GetValue(Count) && tried < 20_000; seed++, tried++)
        {
            ValidationCase c = ValidationCase.FromSeed(seed);
            if (wanted.TrueForAll(w => c.Properties.TryGetValue(w.Name, out string? value) && value == w.Value)) cases.Add(c);
        }
        return cases;
    }

    private static List<CaseScore> Measure(IReadOnlyList<ValidationCase> cases, string folder, int jobs, bool afresh) => [.. Measured(
        cases, Path.Combine(folder, "results.jsonl"), jobs, afresh, c => c.Seed, Fingerprints.Of, c => CaseRunner.Run(c),
        r => string.Create(CultureInfo.InvariantCulture, $"{r.Measured.Verdict ?? "refused"}, true depth {r.Truth.DepthOnCamera:P2}, {r.Measured.Seconds:0.0} s measuring"))
        .Select(m => CaseScore.Of(m.Case, m.Result))];

    private static List<(EveningCase Evening, EveningResult Result)> MeasureEvenings(IReadOnlyList<EveningCase> evenings, string folder, int jobs, bool afresh) => Measured(
        evenings, Path.Combine(folder, "evenings.jsonl"), jobs, afresh, e => e.Seed, Fingerprints.Of, e => EveningRunner.Run(e),
        r => r.Refusal ?? string.Join(", ", r.Formats.Select(f => string.Create(CultureInfo.InvariantCulture, $"{f.Verdict} at a true depth of {f.TrueDepth:P2}"))));

    private static List<AskedResult> MeasureAsked(IReadOnlyList<EveningCase> evenings, string folder, int jobs, bool afresh) => [.. Measured(
        evenings, Path.Combine(folder, "asked.jsonl"), jobs, afresh, e => e.Seed, Fingerprints.Of, e => EveningRunner.RunAsAsked(e), CaseDisplay.Steps).Select(m => m.Result)];

    /// <summary>Measures what the results file does not hold yet; tells how far it is, on standard error.</summary>
    private static List<(TCase Case, TResult Result)> Measured<TCase, TResult>(
        IReadOnlyList<TCase> cases, string resultsPath, int jobs, bool afresh, Func<TCase, int> seed, Func<TCase, string> fingerprint, Func<TCase, TResult> run, Func<TResult, string> told)
        where TResult : class, ISeeded
    {
        ResultsFile<TResult> file = new(resultsPath);
        Dictionary<int, TResult> before = afresh ? [] : file.Read();
        ConcurrentDictionary<int, TResult> results = [];
        int done = 0;
        Parallel.ForEach(Partitioner.Create(cases, EnumerablePartitionerOptions.NoBuffering), new ParallelOptions { MaxDegreeOfParallelism = jobs }, c =>
        {
            if (before.TryGetValue(seed(c), out TResult? result) && result.Fingerprint == fingerprint(c))
            {
                Interlocked.Increment(ref done);
            }
            else
            {
                file.Add(result = run(c));
                Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Interlocked.Increment(ref done)}/{cases.Count} seed {seed(c)}: {told(result)}"));
            }
            results[seed(c)] = result;
        });
        return [.. cases.Select(c => (c, results[seed(c)]))];
    }
}
