using System.Text;
using System.Text.RegularExpressions;
using FlickerProbe.Robustness.Running;

namespace FlickerProbe.Robustness.Corpus;

/// <summary>Names with markup, formulas, control characters and marks that turn the reading direction, in every place a person may write one; looked
/// for in the page, the tables, the print and on the terminal.</summary>
internal static class HostileNames
{
    private const string Class = "hostile names";

    // As YAML double-quoted text, so that every character arrives.
    private static readonly string[] Names =
    [
        "<script>alert(1)</script>", "\\\"><img src=x onerror=alert(1)>", "' onmouseover='alert(1)", "&lt;b&gt;&amp;&#0;", "=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(1)", "\\t=1+1", "\\r\\n=1+1", "a,b;c\\\"d", "\\e[2J\\e]0;owned\\a", "\\x9b31m", "\\u202Elanosrep\\u202C",
        "\\u200F\\u200E\\u2066x", "\\u2028x\\u2029", "\\0x", "\\uD800", "\\uFFFE\\uFFFF", "\\U0001F4A1 lamp", "%s%n%x", "{{7*7}}", "${jndi:ldap://127.0.0.1/a}", "](javascript:alert(1))", "../../../out", "CON", "</style></title></head>", "<!--", "]]>", "Ω舞台 Bühne", "e\\u0301\\u0301\\u0301\\u0301\\u0301\\u0301",
    ];

    /// <summary>One audition for each few names: as fixture, title, tester, notes, mode, camera.</summary>
    public static IEnumerable<Trial> All(IReadOnlyList<SeedClip> seeds)
    {
        byte[] clip = seeds.First(s => s.Name == "mp4 libx264").Bytes;
        foreach (string name in Names.Append(string.Concat(Enumerable.Repeat("long ", 400))))
        {
            yield return new Trial(Class, name.Length > 50 ? name[..20] + "…" : name, Bound.NeverPass, folder =>
            {
                File.WriteAllBytes(Path.Combine(folder, "a.mp4"), clip);
                string path = Path.Combine(folder, "audition.yaml");
                File.WriteAllText(path, $"""
                    schema: flickerprobe/audition/1
                    title: "{name}"
                    tested-by: "{name}"
                    tested-on: "{name}"
                    notes: "{name}"
                    formats: [25@1/250]
                    cameras: {"{"} "{name}": {"{"} readout: 16ms, notes: "{name}" {"}"} {"}"}
                    fixtures:
                      - name: "{name} A"
                        mode: "{name}"
                        notes: "{name}"
                        price: 240 EUR
                        takes:
                          - {"{"} clip: a.mp4, camera: "{name}", shutter: 1/1000, dimmer: 100%, region: [8, 8, 128, 112] {"}"}
                      - name: "{name}"
                        takes:
                          - {"{"} clip: missing.mp4, shutter: 1/1000, dimmer: 100% {"}"}
                    """);
                return ["audition", path, "--out", Path.Combine(folder, Ending.OutName)];
            })
            {
                Also = CheckPages,
            };
        }
    }

    private static string? CheckPages(Ending ending)
    {
        if (ending.Status != 0) return null; // refused by the reader: that is fine, the judge looks at the sentence
        string page = File.ReadAllText(Path.Combine(ending.Out, "report.html"));
        string body = page[page.IndexOf("</style>", StringComparison.Ordinal)..];
        // The page has no scripts and no handlers of its own, so any is the stranger's.
        if (Regex.IsMatch(body, "<script|<img src=x|<[^>]*\\son[a-z]+\\s*=|<!--|javascript:[^<]*\"", RegexOptions.IgnoreCase)) return "the page carries the name as markup";
        if (body.Split("</style>").Length > 2 || page.Split("</head>").Length > 2) return "the name ends the page's head";
        if (EndingJudge.Steers(page.Replace("\t", "", StringComparison.Ordinal))) return "the page carries control characters";
        foreach (string table in Directory.EnumerateFiles(ending.Out, "*.csv"))
        {
            foreach (string cell in Cells(File.ReadAllText(table)))
            {
                bool number = double.TryParse(cell, System.Globalization.CultureInfo.InvariantCulture, out _);
                if (!number && cell.Length > 0 && cell[0] is '=' or '+' or '-' or '@' or '\t' or '\r' && !number) return $"{Path.GetFileName(table)} has the formula '{cell}'";
                if (EndingJudge.Steers(cell)) return $"{Path.GetFileName(table)} carries control characters";
            }
        }
        string print = File.ReadAllText(Path.Combine(ending.Out, "report.pdf"), Encoding.Latin1);
        if (!print.StartsWith("%PDF", StringComparison.Ordinal) || !print.TrimEnd().EndsWith("%%EOF", StringComparison.Ordinal)) return "the print is no whole PDF";
        // Packed pictures and fonts hold every short word by chance; what a reader acts on lies outside them, as long as no objects are packed too.
        string text = Regex.Replace(print, "stream\r?\n.*?endstream", "", RegexOptions.Singleline);
        if (text.Contains("/ObjStm", StringComparison.Ordinal)) return "the print packs objects where they can't be looked at";
        if (Regex.IsMatch(text, "/(JavaScript|JS|Launch|OpenAction|EmbeddedFile)\\b")) return "the print can run something";
        return null;
    }

    /// <summary>Cells of a table after RFC 4180.</summary>
    private static IEnumerable<string> Cells(string table)
    {
        var cell = new StringBuilder();
        bool quoted = false;
        for (int i = 0; i < table.Length; i++)
        {
            char c = table[i];
            if (quoted && c == '"' && i + 1 < table.Length && table[i + 1] == '"') cell.Append(table[++i]);
            else if (c == '"') quoted = !quoted;
            else if (!quoted && (c == ',' || (c == '\r' && i + 1 < table.Length && table[i + 1] == '\n')))
            {
                yield return cell.ToString();
                cell.Clear();
                if (c == '\r') i++;
            }
            else cell.Append(c);
        }
    }
}
