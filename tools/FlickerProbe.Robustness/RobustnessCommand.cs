using System.Collections.Concurrent;
using System.CommandLine;
using System.Globalization;
using FlickerProbe.Robustness.Corpus;
using FlickerProbe.Robustness.Running;

namespace FlickerProbe.Robustness;

/// <summary>The command line of the robustness run.</summary>
internal static class RobustnessCommand
{
    private static readonly Option<int> Variants = new("--variants") { Description = "Files with changed bytes.", DefaultValueFactory = _ => 1000 };
    private static readonly Option<int> Seed = new("--seed") { Description = "First number that the changes are made from.", DefaultValueFactory = _ => 1 };
    private static readonly Option<int> Few = new("--one-in") { Description = "Only one in so many trials of each class, for a quick look.", DefaultValueFactory = _ => 1 };
    private static readonly Option<string[]> Only = new("--only") { Description = "Only classes and trials whose name holds this; repeatable." };
    private static readonly Option<int> Jobs = new("--jobs", "-j") { Description = "Trials at a time.", DefaultValueFactory = _ => Math.Min(2, Environment.ProcessorCount) };
    private static readonly Option<string?> KeepIn = new("--keep") { Description = "Keep the inputs of failed trials in this folder." };
    private static readonly Option<string> Folder = new("--folder") { Description = "Where results are kept, so that an interrupted run goes on.", DefaultValueFactory = _ => Path.Combine("artifacts", "robustness") };
    private static readonly Option<bool> Afresh = new("--afresh") { Description = "Try again what this build has gone through before." };
    private static readonly Option<string?> Report = new("--report") { Description = "Write the report in Markdown to this file." };

    private static readonly Option<string?> Laws = new("--laws") { Description = "What came of the laws of the science, for the report." };
    private static readonly Option<int> Faults = new("--faults") { Description = "1: also the faults, each with processes of its own; 0: without.", DefaultValueFactory = _ => 1 };

    public static RootCommand Create()
    {
        RootCommand root = new("Feeds the program hostile clips, hostile text and faults, and checks that every call ends as promised.") { Variants, Seed, Few, Only, Jobs, KeepIn, Report, Laws, Faults, Folder, Afresh };
        root.Add(MutationCommand.Create());
        root.SetAction((call, cancellation) => Task.Run(() => Run(call, cancellation), cancellation));
        return root;
    }

    private static int Run(ParseResult p, CancellationToken cancellation)
    {
        // Cameras that the user has stored are no part of the trials.
        string home = Directory.CreateTempSubdirectory("robustness-home-").FullName;
        Environment.SetEnvironmentVariable("FLICKERPROBE_HOME", home);
        try
        {
            (IReadOnlyList<SeedClip> seeds, IReadOnlyList<string> notMade) = SeedClips.Make();
            Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{seeds.Count} seeds; this ffmpeg can't write: {string.Join(", ", notMade)}"));
            List<Trial> trials = [.. AllTrials(seeds, p)];
            ResultsFile file = new(Path.Combine(p.GetRequiredValue(Folder), "results.jsonl"));
            List<TrialResult> results = RunAll(trials, p.GetValue(Jobs), p.GetValue(KeepIn), file, p.GetValue(Afresh), cancellation);
            if (p.GetValue(Faults) == 1) results.AddRange(RunFaults(p, file, cancellation));
            IReadOnlyList<string> running = OwnProcess.StillAtWork("robustness-");
            foreach (string left in running.Where(c => c.Contains("ffmpeg", StringComparison.Ordinal) || c.Contains("ffprobe", StringComparison.Ordinal)))
                results.Add(new TrialResult(new Trial("after all trials", "children", Bound.AnyEnding, _ => []), null, null, 0, [$"still running: {left}"], ""));
            if (p.GetValue(Report) is { } report)
                File.WriteAllText(report, RobustnessReport.Write(CommandLine(p, report), results, seeds.Count, notMade, Ffmpeg.Version(), p.GetValue(Laws)));
            List<TrialResult> failed = [.. results.Where(r => r.Wrong.Count > 0)];
            foreach (TrialResult r in failed) Console.WriteLine($"{r.Trial.Class}: {r.Trial.Name}: {string.Join("; ", r.Wrong)}");
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{results.Count - failed.Count} survived, {failed.Count} did not"));
            return failed.Count == 0 ? 0 : 1;
        }
        finally
        {
            Directory.Delete(home, recursive: true);
        }
    }

    private static string CommandLine(ParseResult p, string report) =>
        (p.GetValue(Few) > 1 || p.GetValue(Only) is { Length: > 0 } ? "part of " : "") + string.Create(CultureInfo.InvariantCulture, $"tools/robustness --variants {p.GetValue(Variants)} --seed {p.GetValue(Seed)}");

    private static bool Wanted(ParseResult p, string group, string name) =>
        p.GetValue(Only) is not { Length: > 0 } words || words.Any(w => group.Contains(w, StringComparison.OrdinalIgnoreCase) || name.Contains(w, StringComparison.OrdinalIgnoreCase));

    private static List<TrialResult> RunFaults(ParseResult p, ResultsFile file, CancellationToken cancellation)
    {
        List<TrialResult> results = [];
        (string Class, string Name, Func<string, string?> Try)[] faults = [.. FaultTrials.All(p.GetValue(Seed)).Where(f => Wanted(p, f.Class, f.Name)).Where((_, n) => n % p.GetValue(Few) == 0)];
        Dictionary<(string, string), TrialResult> before = p.GetValue(Afresh) ? [] : file.Read(faults.Select(f => FaultTrials.AsTrial(f.Class, f.Name)));
        foreach ((string Class, string Name, Func<string, string?> Try) fault in faults)
        {
            cancellation.ThrowIfCancellationRequested();
            bool known = before.TryGetValue((fault.Class, fault.Name), out TrialResult? result);
            result ??= FaultTrials.Run(fault);
            results.Add(result);
            if (known) continue;
            file.Add(result);
            Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{fault.Class}: {fault.Name}: {result.Seconds:0.0} s {string.Join("; ", result.Wrong)}"));
        }
        return results;
    }

    private static IEnumerable<Trial> AllTrials(IReadOnlyList<SeedClip> seeds, ParseResult p)
    {
        IEnumerable<Trial> all =
        [
            .. DamagedClips.Whole(seeds), .. LyingHeaders.All(seeds), .. References.All(seeds), .. HostileText.All(seeds), .. HostileNames.All(seeds), .. OddClips.All(), .. DamagedClips.Truncated(seeds), .. DamagedClips.Flipped(seeds, p.GetValue(Variants), p.GetValue(Seed)),
        ];
        return all.Where(t => Wanted(p, t.Class, t.Name)).Where((_, n) => n % p.GetValue(Few) == 0);
    }

    private static List<TrialResult> RunAll(List<Trial> trials, int jobs, string? keepIn, ResultsFile file, bool afresh, CancellationToken cancellation)
    {
        Dictionary<(string, string), TrialResult> before = afresh ? [] : file.Read(trials);
        ConcurrentBag<(int Order, TrialResult Result)> results = [];
        int done = 0;
        Parallel.ForEach(Partitioner.Create(trials.Select((trial, order) => (trial, order)), EnumerablePartitionerOptions.NoBuffering), new ParallelOptions { MaxDegreeOfParallelism = jobs, CancellationToken = cancellation }, entry =>
        {
            bool known = before.TryGetValue((entry.trial.Class, entry.trial.Name), out TrialResult? result);
            result ??= TrialRunner.Run(entry.trial, keepIn);
            if (!known) file.Add(result);
            results.Add((entry.order, result));
            int so = Interlocked.Increment(ref done);
            if (result.Wrong.Count > 0 || so % 50 == 0)
                Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{so}/{trials.Count} {result.Trial.Class}: {result.Trial.Name}: {result.Status} {result.Verdict} {result.Seconds:0.0} s {string.Join("; ", result.Wrong)}"));
        });
        return [.. results.OrderBy(r => r.Order).Select(r => r.Result)];
    }
}
