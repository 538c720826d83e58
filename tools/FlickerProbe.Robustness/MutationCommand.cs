using System.CommandLine;
using System.Globalization;
using System.Text;
using System.Text.Json;

namespace FlickerProbe.Robustness;

/// <summary>Sums up what the mutation runs found: how many of the changes a test noticed, and which none did.</summary>
internal static class MutationCommand
{
    private sealed record Mutant(string Folder, string File, int Line, string Kind, string Replacement, string Status);

    public static Command Create()
    {
        Argument<string> folder = new("FOLDER") { Description = "Where the runs left their results." };
        Option<string> report = new("--report") { Description = "The report in Markdown.", DefaultValueFactory = _ => "reports/mutation.md" };
        Command command = new("mutation", "Sums up the mutation runs.") { folder, report };
        command.SetAction(p => File.WriteAllText(p.GetRequiredValue(report), Write([.. Read(p.GetRequiredValue(folder))])));
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
                        m.GetProperty("mutatorName").GetString() ?? "", m.TryGetProperty("replacement", out JsonElement r) ? r.GetString() ?? "" : "", m.GetProperty("status").GetString() ?? "");
                }
            }
        }
    }

    private static string Write(IReadOnlyList<Mutant> all)
    {
        StringBuilder text = new();
        text.AppendLine("<!-- remake: tools/mutation -->\n\n# Changed on purpose\n\n`tools/mutation`\n");
        text.AppendLine("Each line of the science is changed in small ways (a plus to a minus, a < to a <=, a constant gone), one change at a time, and the fast tests are run: a change that no test notices has survived. Score: noticed ÷ all that could be compiled. Texts that people read are held by other, slower tests that are not asked here.\n");
        text.AppendLine("| folder | changes | noticed | survived | reached by no test | score |\n|---|---|---|---|---|---|");
        foreach (IGrouping<string, Mutant> folder in all.GroupBy(m => m.Folder))
        {
            int noticed = folder.Count(Noticed), survived = folder.Count(m => m.Status == "Survived"), unreached = folder.Count(m => m.Status == "NoCoverage"), sum = noticed + survived + unreached;
            if (sum > 0) text.AppendLine(CultureInfo.InvariantCulture, $"| {folder.Key} | {sum} | {noticed} | {survived} | {unreached} | {100.0 * noticed / sum:0.0} % |");
        }
        text.AppendLine("\n## Survivors\n\nNumbers in sentences and rounding for people aside, each is a gap in the fast tests or a change without effect.\n");
        foreach (IGrouping<string, Mutant> file in all.Where(m => m.Status is "Survived" or "NoCoverage").GroupBy(m => m.Folder + "/" + m.File))
        {
            text.Append(CultureInfo.InvariantCulture, $"- **{file.Key}**: ");
            text.AppendLine(string.Join("; ", file.OrderBy(m => m.Line).Select(m => string.Create(CultureInfo.InvariantCulture, $"line {m.Line} {m.Kind.ToLowerInvariant()}{(m.Status == "NoCoverage" ? " (not reached)" : "")}"))));
        }
        return text.ToString().ReplaceLineEndings("\n");
    }

    private static bool Noticed(Mutant m) => m.Status is "Killed" or "Timeout";
}
