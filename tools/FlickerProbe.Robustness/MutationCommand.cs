using System.CommandLine;
using System.Globalization;
using System.Text;
using System.Text.Json;

namespace FlickerProbe.Robustness;

/// <summary>Sums up what the mutation runs found: how many of the changes a test noticed, and which none did.</summary>
internal static class MutationCommand
{
    private sealed record Mutant(string Folder, string File, int Line, string Kind, string Status, DateOnly Day);

    /// <summary>What the report says of one folder of the science.</summary>
    private sealed record Section(string Folder, string Row, IReadOnlyList<string> Survivors);

    public static Command Create()
    {
        Argument<string> folder = new("FOLDER") { Description = "Where the runs left their results." };
        Option<string> report = new("--report") { Description = "The report in Markdown.", DefaultValueFactory = _ => "reports/mutation.md" };
        Option<string> science = new("--science") { Description = "Where the science lies, a folder for each part.", DefaultValueFactory = _ => "src/FlickerProbe" };
        Command command = new("mutation", "Sums up the mutation runs.") { folder, report, science };
        command.SetAction(p =>
        {
            string path = p.GetRequiredValue(report);
            string[] before = File.Exists(path) ? File.ReadAllLines(path) : [];
            File.WriteAllText(path, Write([.. Read(p.GetRequiredValue(folder)).GroupBy(m => m.Folder).Select(Of)], before, LinesOf(p.GetRequiredValue(science))));
        });
        return command;
    }

    private static IEnumerable<Mutant> Read(string folder)
    {
        // Of every file the newest run that changed it: a run also lists the files that it left alone.
        HashSet<string> seen = [];
        foreach (string run in Directory.EnumerateFiles(folder, "mutation-report.json", SearchOption.AllDirectories).OrderByDescending(File.GetLastWriteTimeUtc))
        {
            using JsonDocument document = JsonDocument.Parse(File.ReadAllText(run));
            foreach (JsonProperty file in document.RootElement.GetProperty("files").EnumerateObject().OrderBy(f => f.Name, StringComparer.Ordinal))
            {
                bool changed = file.Value.GetProperty("mutants").EnumerateArray().Any(m => m.GetProperty("status").GetString() is "Killed" or "Survived" or "NoCoverage" or "Timeout");
                if (!changed || !seen.Add(file.Name)) continue;
                string[] parts = file.Name.Replace('\\', '/').Split('/');
                string science = parts[Array.LastIndexOf(parts, "FlickerProbe") + 1];
                foreach (JsonElement m in file.Value.GetProperty("mutants").EnumerateArray())
                {
                    yield return new Mutant(
                        science, Path.GetFileName(file.Name), m.GetProperty("location").GetProperty("start").GetProperty("line").GetInt32(),
                        m.GetProperty("mutatorName").GetString() ?? "", m.GetProperty("status").GetString() ?? "", DateOnly.FromDateTime(File.GetLastWriteTimeUtc(run)));
                }
            }
        }
    }

    private static Section Of(IGrouping<string, Mutant> folder)
    {
        int noticed = folder.Count(Noticed), survived = folder.Count(m => m.Status == "Survived"), unreached = folder.Count(m => m.Status == "NoCoverage"), sum = noticed + survived + unreached;
        string row = string.Create(CultureInfo.InvariantCulture, $"| {folder.Key} | {sum} | {noticed} | {survived} | {unreached} | {100.0 * noticed / sum:0.0} % | {folder.Max(m => m.Day):yyyy-MM-dd} |");
        return new Section(folder.Key, row,
        [
            .. folder.Where(m => m.Status is "Survived" or "NoCoverage").GroupBy(m => m.File).Select(file => $"- **{folder.Key}/{file.Key}**: " + string.Join(
                "; ", file.OrderBy(m => m.Line).Select(m => string.Create(CultureInfo.InvariantCulture, $"line {m.Line} {m.Kind.ToLowerInvariant()}{(m.Status == "NoCoverage" ? " (not reached)" : "")}")))),
        ]);
    }

    /// <summary>What an earlier report says of the folders that were not changed anew.</summary>
    private static IEnumerable<Section> Kept(string[] report, IReadOnlyList<Section> anew, IEnumerable<string> folders) =>
        from folder in folders
        where anew.All(s => s.Folder != folder)
        let row = Array.Find(report, l => l.StartsWith($"| {folder} |", StringComparison.Ordinal))
        where row is not null
        select new Section(folder, row, [.. report.Where(l => l.StartsWith($"- **{folder}/", StringComparison.Ordinal))]);

    /// <summary>Lines of code in each folder of the science.</summary>
    private static SortedDictionary<string, int> LinesOf(string science) => new(
        Directory.EnumerateFiles(science, "*.cs", SearchOption.AllDirectories).GroupBy(file => Path.GetRelativePath(science, file).Split(Path.DirectorySeparatorChar)[0])
            .Where(folder => folder.Key is not ("bin" or "obj")).ToDictionary(folder => folder.Key, folder => folder.Sum(file => File.ReadLines(file).Count())),
        StringComparer.Ordinal);

    private static string Write(IReadOnlyList<Section> anew, string[] before, SortedDictionary<string, int> lines)
    {
        Section[] all = [.. anew.Concat(Kept(before, anew, lines.Keys)).OrderBy(s => s.Folder, StringComparer.Ordinal)];
        StringBuilder text = new();
        text.AppendLine("<!-- remake: tools/mutation -->\n\n# Changed on purpose\n\n`tools/mutation`\n");
        text.AppendLine("Each line of the science is changed in small ways (a plus to a minus, a < to a <=, a constant gone), one change at a time, and the fast tests are run: a change that no test notices has survived. Score: noticed ÷ all that could be compiled. Texts that people read are held by other, slower tests that are not asked here. A folder's row is of the day it was last tried.\n");
        text.AppendLine("| folder | changes | noticed | survived | reached by no test | score | tried |\n|---|---|---|---|---|---|---|");
        foreach (Section section in all) text.AppendLine(section.Row);
        string[] left = [.. lines.ExceptBy(all.Select(s => s.Folder), folder => folder.Key).Select(folder => string.Create(CultureInfo.InvariantCulture, $"{folder.Key} ({folder.Value} lines)"))];
        if (left.Length > 0) text.AppendLine(CultureInfo.InvariantCulture, $"\nNot tried, as their tests take seconds each: {string.Join(", ", left)}.");
        text.AppendLine("\n## Survivors\n\nNumbers in sentences and rounding for people aside, each is a gap in the fast tests or a change without effect.\n");
        foreach (string line in all.SelectMany(s => s.Survivors)) text.AppendLine(line);
        return text.ToString().ReplaceLineEndings("\n");
    }

    private static bool Noticed(Mutant m) => m.Status is "Killed" or "Timeout";
}
