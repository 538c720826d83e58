using System.Text;
using System.Text.RegularExpressions;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Auditions;

/// <summary>Writes matched clips into an audition file; comments, order and line breaks stay as they are.</summary>
public static partial class TakeInEdit
{
    /// <summary>The text with the names of the matched clips in place of the planned ones.</summary>
    /// <param name="text">Text of the audition file.</param>
    /// <param name="path">Its path.</param>
    /// <param name="table">The match; what is open stays as it is.</param>
    /// <exception cref="InputException">The text does not read as before with the new names: nothing is lost, but the names must be written by hand.</exception>
    public static string Apply(string text, string path, TakeInTable table)
    {
        Dictionary<string, string> names = table.Matches.Where(m => m.State == MatchState.Matched && m.Clip!.Name != m.Slot.Name).ToDictionary(m => m.Slot.Name, m => m.Clip!.Name);
        if (names.Count == 0) return text;
        string[] lines = text.Split('\n');
        for (int i = 0; i < lines.Length; i++)
        {
            int comment = CommentAt(lines[i]);
            lines[i] = ClipValue().Replace(lines[i][..comment], match =>
            {
                string written = match.Groups["value"].Value;
                string name = written.Trim('"', '\'');
                return names.TryGetValue(name, out string? better) ? match.Groups["key"].Value + Quote(better) : match.Value;
            }) + lines[i][comment..];
        }
        string edited = string.Join('\n', lines);
        Check(AuditionReader.Parse(text, path), AuditionReader.Parse(edited, path), names, path);
        return edited;
    }

    /// <summary>Edits the file itself; it is replaced whole or not at all.</summary>
    /// <exception cref="InputException">The file can't be read or written, or does not read as before.</exception>
    public static void Write(string path, TakeInTable table)
    {
        string text = File.ReadAllText(path, Encoding.UTF8);
        string edited = Apply(text, path, table);
        if (edited != text) AtomicFile.Write(path, edited);
    }

    private static void Check(Audition before, Audition after, Dictionary<string, string> names, string path)
    {
        string Now(string name) => names.GetValueOrDefault(name, name);
        bool same = before.Fixtures.Count == after.Fixtures.Count;
        for (int f = 0; same && f < before.Fixtures.Count; f++)
        {
            IReadOnlyList<AuditionTake> old = before.Fixtures[f].Takes, now = after.Fixtures[f].Takes;
            same = old.Count == now.Count && old.Zip(now).All(p =>
                p.Second.Clip == Now(p.First.Clip) && p.Second.Reference == (p.First.Reference is null ? null : Now(p.First.Reference)) &&
                p.Second.Shutter == p.First.Shutter && p.Second.Dimmer == p.First.Dimmer && p.Second.Sweep.SequenceEqual(p.First.Sweep));
        }
        if (!same) throw new InputException($"'{path}' is written in a way in which the clips' names can't be exchanged safely: write the names of the table into it by hand.");
    }

    // Where the line's comment begins: a # at the start or after a space, outside quotes.
    private static int CommentAt(string line)
    {
        char quote = '\0';
        for (int i = 0; i < line.Length; i++)
        {
            char c = line[i];
            if (quote != '\0') quote = c == quote ? '\0' : quote;
            else if (c is '"' or '\'' && (i == 0 || line[i - 1] is ' ' or '[' or '{' or ',')) quote = c;
            else if (c == '#' && (i == 0 || char.IsWhiteSpace(line[i - 1]))) return i;
        }
        return line.Length;
    }

    // In a { … } entry a comma or a brace ends a plain value.
    private static string Quote(string name)
    {
        string quoted = YamlText.Quote(name);
        return quoted[0] != '"' && quoted.IndexOfAny([',', '{', '}', '[', ']']) >= 0 ? $"\"{name}\"" : quoted;
    }

    [GeneratedRegex("""(?<key>(?<=^|[\s{,])(?:clip|reference):\s+)(?<value>"[^"]*"|'[^']*'|[^\s,{}#][^,{}#\r]*?)(?=\s*(?:$|[,}\r]|\s#))""")]
    private static partial Regex ClipValue();
}
