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
            Count, SeedFrom, Only, Show, Jobs, Folder, Afresh, Report, ListAll, Spread,
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
        if (p.GetValue(Spread))
        {
            foreach (FrequencySpread s in Spreads(p)) Console.WriteLine(FiguresText.Line(s));
            return 0;
        }
        List<ValidationCase> cases = Pick(p);
        List<CaseScore> scores = Measure(cases, folder, p.GetValue(Jobs), p.GetValue(Afresh));
        Console.WriteLine();
        Console.Write(FiguresText.Table(Figures.Of(scores)));
        Console.WriteLine();
        foreach (CaseScore s in WorstCases.Of(scores).Take(15)) Console.WriteLine(WorstCases.Line(s));
        if (p.GetValue(ListAll))
        {
            foreach (CaseScore s in scores) Console.WriteLine(CaseDisplay.Line(s));
        }
        if (p.GetValue(Report) is { } report)
        {
            string command = string.Create(CultureInfo.InvariantCulture, $"tools/validate --count {p.GetValue(Count)} --seed-from {p.GetValue(SeedFrom)} --report {report}");
            File.WriteAllText(report, ReportWriter.Write(command, scores, [.. Spreads(p)]));
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

    /// <summary>Measures what the results file does not hold yet; tells how far it is, on standard error.</summary>
    internal static List<CaseScore> Measure(IReadOnlyList<ValidationCase> cases, string folder, int jobs, bool afresh)
    {
        ResultsFile file = new(Path.Combine(folder, "results.jsonl"));
        Dictionary<int, CaseResult> before = afresh ? [] : file.Read();
        ConcurrentDictionary<int, CaseScore> scores = [];
        int done = 0;
        Parallel.ForEach(Partitioner.Create(cases, EnumerablePartitionerOptions.NoBuffering), new ParallelOptions { MaxDegreeOfParallelism = jobs }, c =>
        {
            if (!before.TryGetValue(c.Seed, out CaseResult? result) || result.Fingerprint != CaseRunner.Fingerprint(c))
            {
                System.Diagnostics.Stopwatch watch = System.Diagnostics.Stopwatch.StartNew();
                result = CaseRunner.Run(c);
                file.Add(result);
                Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture,
                    $"{Interlocked.Increment(ref done)}/{cases.Count} seed {c.Seed}: {result.Measured.Verdict ?? "refused"}, true depth {result.Truth.DepthOnCamera:P2}, {watch.Elapsed.TotalSeconds:0.0} s ({result.Measured.Seconds:0.0} s measuring)"));
            }
            else
            {
                Interlocked.Increment(ref done);
            }
            scores[c.Seed] = CaseScore.Of(c, result);
        });
        return [.. cases.Select(c => scores[c.Seed])];
    }
}
