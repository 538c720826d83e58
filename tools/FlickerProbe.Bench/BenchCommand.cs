using System.CommandLine;
using FlickerProbe.Bench.Clips;
using FlickerProbe.Bench.Kernels;
using FlickerProbe.Bench.Racing;

namespace FlickerProbe.Bench;

/// <summary>The command line of the benchmarks.</summary>
internal static class BenchCommand
{
    private static readonly Option<int> Repeats = new("--repeats", "-n") { Description = "Rounds of each race; the median counts.", DefaultValueFactory = _ => 5 };
    private static readonly Option<string[]> Only = new("--only") { Description = "Only races whose name contains this; repeatable." };
    private static readonly Option<bool> Long = new("--long") { Description = "Also the thirty-minute clip: one round of many minutes." };
    private static readonly Option<bool> NoKernels = new("--no-kernels") { Description = "Leave the kernels out." };
    private static readonly Option<string> Folder = new("--folder") { Description = "Where the clips are made and kept.", DefaultValueFactory = _ => Path.Combine("artifacts", "bench") };
    private static readonly Option<string?> Report = new("--report") { Description = "Write the table in Markdown to this file." };
    private static readonly Option<string?> Note = new("--note") { Description = "A sentence for the report, such as what else the machine was doing." };
    private static readonly Option<string> Program = new("--program") { Description = "The flickerprobe to race.", DefaultValueFactory = _ => Path.Combine("tools", "flickerprobe") };

    public static RootCommand Create()
    {
        RootCommand root = new("Races flickerprobe against bare decoding on clips made for it, turn by turn on the same machine, and times its inner loops.")
        {
            Repeats, Only, Long, NoKernels, Folder, Report, Note, Program,
        };
        root.SetAction(Run);
        return root;
    }

    private static int Run(ParseResult p)
    {
        string[] only = p.GetValue(Only) ?? [];
        var bench = new Races(new BenchClips(p.GetRequiredValue(Folder)), Path.GetFullPath(p.GetRequiredValue(Program)), Math.Max(1, p.GetValue(Repeats)));
        double loadBefore = Machine.Load();
        List<RaceResult> results = [];
        foreach (Race race in bench.All(p.GetValue(Long)))
        {
            if (only.Length > 0 && !only.Any(word => race.Name.Contains(word, StringComparison.OrdinalIgnoreCase))) continue;
            Console.Error.WriteLine(race.Name + " …");
            RaceResult result = race.Run();
            results.Add(result);
            Console.WriteLine(BenchReport.Line(result));
        }
        IReadOnlyList<KernelResult> kernels = p.GetValue(NoKernels) ? [] : KernelRun.All();
        foreach (KernelResult kernel in kernels) Console.WriteLine(BenchReport.Line(kernel));
        if (p.GetValue(Report) is { } report)
            File.WriteAllText(report, BenchReport.Write(results, kernels, p.GetValue(Repeats), loadBefore, p.GetValue(Note)));
        return 0;
    }
}
