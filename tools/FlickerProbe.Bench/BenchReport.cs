using System.Globalization;
using System.Text;
using FlickerProbe.Bench.Kernels;
using FlickerProbe.Bench.Racing;

namespace FlickerProbe.Bench;

/// <summary>Words the results.</summary>
internal static class BenchReport
{
    /// <summary>A race on one line.</summary>
    public static string Line(RaceResult result) => string.Join("  ", Cells(result));

    /// <summary>A kernel on one line.</summary>
    public static string Line(KernelResult kernel) => string.Join("  ", Cells(kernel));

    /// <summary>The whole report in Markdown.</summary>
    public static string Write(IReadOnlyList<RaceResult> races, IReadOnlyList<KernelResult> kernels, int rounds, double loadBefore, string? note)
    {
        StringBuilder text = new();
        text.Append("# Benchmarks\n\nMade by `tools/bench`, which renders its own clips. ").Append(Machine.Versions()).Append(".\n\n");
        text.Append("Machine: ").Append(Machine.Describe()).Append(CultureInfo.InvariantCulture, $"; load before the run {Number(loadBefore)}, after it {Number(Machine.Load())} (processes that want a processor; 0 is quiet).\n");
        if (!string.IsNullOrWhiteSpace(note)) text.Append('\n').Append(note.Trim()).Append('\n');
        text.Append("\n## Against bare decoding\n\n");
        Table(text, ["work", "goal", "bare, s", "flickerprobe, s", "ratio", "processor ratio", "after the last frame, s", "peak memory, MB", "goal met"], races.Select(Cells));
        text.Append(CultureInfo.InvariantCulture, $"""

            - **bare**: `ffmpeg -i CLIP -map 0:v:0 -f null -`, which decodes and throws the pictures away; for the audition that for every take, two at a time. **flickerprobe**: the program from the checkout (`tools/flickerprobe`), start to end, with JSON written (the audition: with its whole report). Both run turn by turn, {rounds} rounds after one that does not count, medians; the audition and the long clips one round.
            - **ratio**: wall time of ours over bare of the same round; median (smallest–largest). **processor ratio**: the same for processor time of the program and all it starts.
            - **after the last frame**: from the moment the clip is read to the end of the program: estimate, forecast, verdict, JSON, and the program's end.
            - **peak memory**: largest resident size of flickerprobe's own process, without ffmpeg's.
            - A goal of wall time alone has no bare work beside it. The row *through a pipe* is ffmpeg with the luma plane piped to `dd`, which throws it away: what no reader outside the decoder's process can undercut on this machine.

            """);
        if (kernels.Count > 0)
        {
            text.Append("\n## Inner loops\n\n");
            Table(text, ["step", "way", "ms a call", "against the plain loop"], kernels.Select(Cells));
            text.Append("\nBenchmarkDotNet, 7 iterations in one process; mean ± standard deviation. The plain loop is what the step says, written down without any thought for speed; the libraries do the same step by the nearest means that they offer.\n");
        }
        return text.ToString();
    }

    private static string[] Cells(RaceResult r)
    {
        double after = RaceResult.Median(r.Ours.Select(o => o.AfterLastFrameSeconds));
        double[] ratios = [.. r.Ours.Zip(r.Bare, (a, b) => a.WallSeconds / b.WallSeconds)];
        return
        [
            r.Name, GoalText(r.Goal),
            r.Bare.Count == 0 ? "–" : Number(RaceResult.Median(r.Bare.Select(b => b.WallSeconds))),
            Number(RaceResult.Median(r.Ours.Select(o => o.WallSeconds))),
            r.Ratio is { } ratio ? string.Create(CultureInfo.InvariantCulture, $"{ratio:0.00} ({ratios.Min():0.00}–{ratios.Max():0.00})") : "–",
            r.ProcessorRatio is { } processor && !double.IsNaN(processor) ? processor.ToString("0.00", CultureInfo.InvariantCulture) : "–",
            double.IsNaN(after) ? "–" : Number(after),
            r.Ours.Max(o => o.PeakBytes) is > 0 and long peak ? (peak / 1e6).ToString("0", CultureInfo.InvariantCulture) : "–",
            r.Goal == new Goal(PeakMegabytes: null) ? "–" : r.IsMet ? "yes" : "no",
        ];
    }

    private static string[] Cells(KernelResult k) =>
    [
        k.Step, k.Way, string.Create(CultureInfo.InvariantCulture, $"{k.Milliseconds:0.000} ± {k.Deviation:0.000}"), k.AgainstPlain.ToString("0.00", CultureInfo.InvariantCulture),
    ];

    private static string GoalText(Goal goal)
    {
        List<string> parts = [];
        if (goal.Ratio is { } ratio) parts.Add(string.Create(CultureInfo.InvariantCulture, $"≤ {ratio:0.00} × bare"));
        if (goal.WallSeconds is { } wall) parts.Add("≤ " + Number(wall) + " s");
        if (goal.AfterLastFrameSeconds is { } after) parts.Add("≤ " + Number(after) + " s after the last frame");
        if (goal.PeakMegabytes is { } peak) parts.Add(string.Create(CultureInfo.InvariantCulture, $"≤ {peak:0} MB"));
        return parts.Count == 0 ? "–" : string.Join(", ", parts);
    }

    private static void Table(StringBuilder text, string[] heading, IEnumerable<string[]> rows)
    {
        text.Append("| ").AppendJoin(" | ", heading).Append(" |\n|").Append(string.Concat(Enumerable.Repeat("---|", heading.Length))).Append('\n');
        foreach (string[] row in rows) text.Append("| ").AppendJoin(" | ", row).Append(" |\n");
    }

    private static string Number(double value) => double.IsNaN(value) ? "–" : value.ToString(value < 1 ? "0.000" : value < 10 ? "0.00" : "0.0", CultureInfo.InvariantCulture);
}
