using System.Collections.Concurrent;
using System.CommandLine;
using System.Globalization;
using FlickerProbe.Robustness.Corpus;
using FlickerProbe.Robustness.Running;

namespace FlickerProbe.Robustness;

/// <summary>The command line of the robustness run.</summary>
internal static class RobustnessCommand
{
    private static readonly Option<int> Variants = new("--variants") { Description = "Files with changed bytes.", DefaultValueFactory = _ => 1200 };
    private static readonly Option<int> Seed = new("--seed") { Description = "First number that the changes are made from.", DefaultValueFactory = _ => 1 };
    private static readonly Option<int> Few = new("--one-in") { Description = "Only one in so many trials of each class, for a quick look.", DefaultValueFactory = _ => 1 };
    private static readonly Option<string[]> Only = new("--only") { Description = "Only classes and trials whose name holds this; repeatable." };
    private static readonly Option<int> Jobs = new("--jobs", "-j") { Description = "Trials at a time.", DefaultValueFactory = _ => Math.Min(2, Environment.ProcessorCount) };
    private static readonly Option<string?> KeepIn = new("--keep") { Description = "Keep the inputs of failed trials in this folder." };
    private static readonly Option<string?> Report = new("--report") { Description = "Write the report in Markdown to this file." };

    public static RootCommand Create()
    {
        RootCommand root = new("Feeds the program hostile clips, hostile text and faults, and checks that every call ends as promised.") { Variants, Seed, Few, Only, Jobs, KeepIn, Report };
        root.SetAction(Run);
        return root;
    }

    private static int Run(ParseResult p)
    {
        // Cameras that the user has stored are no part of the trials.
        string home = Directory.CreateTempSubdirectory("robustness-home-").FullName;
        Environment.SetEnvironmentVariable("FLICKERPROBE_HOME", home);
        try
        {
            (IReadOnlyList<SeedClip> seeds, IReadOnlyList<string> notMade) = SeedClips.Make();
            Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{seeds.Count} seeds; this ffmpeg can't write: {string.Join(", ", notMade)}"));
            List<Trial> trials = [.. AllTrials(seeds, p)];
            List<TrialResult> results = RunAll(trials, p.GetValue(Jobs), p.GetValue(KeepIn));
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

    private static IEnumerable<Trial> AllTrials(IReadOnlyList<SeedClip> seeds, ParseResult p)
    {
        IEnumerable<Trial> all =
        [
            .. DamagedClips.Whole(seeds), .. LyingHeaders.All(seeds), .. OddClips.All(), .. References.All(seeds), .. HostileText.All(seeds), .. DamagedClips.Truncated(seeds), .. DamagedClips.Flipped(seeds, p.GetValue(Variants), p.GetValue(Seed)),
        ];
        if (p.GetValue(Only) is { Length: > 0 } words) all = all.Where(t => words.Any(w => t.Class.Contains(w, StringComparison.OrdinalIgnoreCase) || t.Name.Contains(w, StringComparison.OrdinalIgnoreCase)));
        return all.Where((_, n) => n % p.GetValue(Few) == 0);
    }

    private static List<TrialResult> RunAll(List<Trial> trials, int jobs, string? keepIn)
    {
        ConcurrentBag<(int Order, TrialResult Result)> results = [];
        int done = 0;
        Parallel.ForEach(Partitioner.Create(trials.Select((trial, order) => (trial, order)), EnumerablePartitionerOptions.NoBuffering), new ParallelOptions { MaxDegreeOfParallelism = jobs }, entry =>
        {
            TrialResult result = TrialRunner.Run(entry.trial, keepIn);
            results.Add((entry.order, result));
            int so = Interlocked.Increment(ref done);
            if (result.Wrong.Count > 0 || so % 50 == 0)
                Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{so}/{trials.Count} {result.Trial.Class}: {result.Trial.Name}: {result.Status} {result.Verdict} {result.Seconds:0.0} s {string.Join("; ", result.Wrong)}"));
        });
        return [.. results.OrderBy(r => r.Order).Select(r => r.Result)];
    }
}
