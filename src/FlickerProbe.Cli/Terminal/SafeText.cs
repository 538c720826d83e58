using System.Globalization;
using System.Text;

namespace FlickerProbe.Cli.Terminal;

/// <summary>Makes text that may hold a stranger's file name safe to write to a terminal.</summary>
public static class SafeText
{
    /// <summary>
    /// One line without characters that steer a terminal (control characters, among them escape and line ends) or turn
    /// the reading direction around; each becomes its code, such as <c>\x1B</c> or <c>\u202E</c>.
    /// </summary>
    public static string Line(string text)
    {
        if (!text.Any(Steers)) return text;
        var safe = new StringBuilder(text.Length + 16);
        foreach (char c in text)
        {
            if (!Steers(c)) safe.Append(c);
            else if (c < 0x100) safe.Append(CultureInfo.InvariantCulture, $"\\x{(int)c:X2}");
            else safe.Append(CultureInfo.InvariantCulture, $"\\u{(int)c:X4}");
        }
        return safe.ToString();
    }

    /// <summary>As <see cref="Line"/>, with the middle left out where a stranger's text makes it longer than anyone reads.</summary>
    public static string Sentence(string text)
    {
        string line = Line(text);
        return line.Length <= LongestSentence ? line : line[..(LongestSentence / 2)] + " … " + line[^(LongestSentence / 2)..];
    }

    /// <summary>Characters that a sentence may have: two full paths and what is to be said of them fit in.</summary>
    private const int LongestSentence = 1200;

    /// <summary>Several lines, each made safe; the line ends stay.</summary>
    public static string Lines(string text) => string.Join('\n', text.ReplaceLineEndings("\n").Split('\n').Select(Line));

    // U+202A…E and U+2066…9 are the bidirectional embeddings, overrides and isolates; U+200E and U+200F the marks (Unicode annex 9).
    private static bool Steers(char c) =>
        char.IsControl(c) || c is '\u200E' or '\u200F' or (>= '\u202A' and <= '\u202E') or (>= '\u2066' and <= '\u2069') or '\u2028' or '\u2029';
}
