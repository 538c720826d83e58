using System.Globalization;
using System.Text;

namespace FlickerProbe.Robustness;

/// <summary>What was tried and how it ended, as Markdown.</summary>
internal static class RobustnessReport
{
    /// <summary>The report.</summary>
    /// <param name="command">The command that makes it again.</param>
    /// <param name="results">All trials.</param>
    /// <param name="seeds">How many containers and codecs the clips were of.</param>
    /// <param name="notMade">What this ffmpeg could not write.</param>
    /// <param name="ffmpeg">Its version.</param>
    /// <param name="laws">What came of the laws of the science; null when they were not tried.</param>
    public static string Write(string command, IReadOnlyList<TrialResult> results, int seeds, IReadOnlyList<string> notMade, string ffmpeg, string? laws)
    {
        StringBuilder text = new();
        int failed = results.Count(r => r.Wrong.Count > 0);
        text.AppendLine(CultureInfo.InvariantCulture, $"<!-- remake: {command} -->\n\n# What it survives\n\n`{command}`\n");
        text.AppendLine(CultureInfo.InvariantCulture, $"{results.Count} hostile inputs and faults, {results.Count - failed} survived, {failed} did not. Clips of {seeds} containers and codecs were made, damaged and measured with {ffmpeg}.\n");
        text.AppendLine("A trial has survived when the call ends in time; its exit status is one that the README names; there is no trace and no internal fault, but a result or one plain sentence; no ffmpeg goes on running; no half-written file is left and nothing at all after a refusal; nothing on the terminal steers it. The light in the clips ripples by 30 % on camera: whatever is done to such a file, a pass counts as a failure.\n");
        text.AppendLine("| class | tried | measured | refused | survived | slowest |\n|---|---|---|---|---|---|");
        foreach (IGrouping<string, TrialResult> group in results.GroupBy(r => r.Trial.Class))
        {
            int measured = group.Count(r => r.Status is 0 or 1), refused = group.Count(r => r.Status is not (null or 0 or 1));
            bool counted = measured + refused > 0;
            text.AppendLine(CultureInfo.InvariantCulture, $"| {group.Key} | {group.Count()} | {(counted ? measured : "")} | {(counted ? refused : "")} | {group.Count(r => r.Wrong.Count == 0)} | {group.Max(r => r.Seconds):0.0} s |");
        }
        text.AppendLine("\n## What did not survive\n");
        if (failed == 0) text.AppendLine("Nothing in this run.\n");
        foreach (TrialResult r in results.Where(r => r.Wrong.Count > 0)) text.AppendLine(CultureInfo.InvariantCulture, $"- {Plain(r.Trial.Class)}: {Plain(r.Trial.Name)}: {Plain(string.Join("; ", r.Wrong))}");
        text.AppendLine("## What the refusals say\n\nThe commonest sentences, without the names in them:\n");
        foreach (IGrouping<string, TrialResult> sentence in results.Where(r => r.Refusal.Length > 0 && r.Status is 2 or 3).GroupBy(r => WithoutNames(r.Refusal)).OrderByDescending(g => g.Count()).Take(12))
            text.AppendLine(CultureInfo.InvariantCulture, $"- {sentence.Count()} × {Plain(sentence.Key)}");
        if (laws is not null) text.AppendLine(CultureInfo.InvariantCulture, $"\n## Laws of the science\n\nLinear in light; the same for more of the same light, another start of the clock, more frames, strips in another order, a camera upside down; a forecast for the measured setting returns the measurement; units, fractions and codes survive being written and read. Tried on invented inputs of a fresh seed: {Plain(laws)}");
        text.AppendLine("\n## What was not tried\n");
        text.AppendLine("- Files written by hand to attack a certain decoder: ffmpeg decodes in a process of its own and its faults are ffmpeg's; the program is only promised to outlive them.");
        text.AppendLine("- A pipe without a writer (FIFO) named as a settings file: the call waits for the writer until it is interrupted.");
        text.AppendLine("- Changed bytes that no code can notice, such as one picture element of an uncompressed clip: they are measured as they are.");
        text.AppendLine("- Linked segments of Matroska in more than one form, encrypted media, hardware decoders, network file systems, a machine out of memory, macOS and Windows.");
        text.AppendLine("- Loss of power: files are renamed into place whole, but not forced to the disk.");
        if (notMade.Count > 0) text.AppendLine(CultureInfo.InvariantCulture, $"- What this ffmpeg could not write: {string.Join(", ", notMade)}.");
        return text.ToString().ReplaceLineEndings("\n");
    }

    private static string WithoutNames(string sentence) => System.Text.RegularExpressions.Regex.Replace(System.Text.RegularExpressions.Regex.Replace(sentence, "'[^']*'", "'…'"), "/tmp/\\S*?(?=[:, ])", "…");

    // Names of trials hold hostile text: it stays text here too.
    private static string Plain(string text)
    {
        string clean = new([.. text.Select(c => char.IsControl(c) || c is >= '\u2000' and <= '\u206F' && c is not ('–' or '—' or '…') || char.IsSurrogate(c) ? '·' : c)]);
        return clean.Replace("<", "&lt;", StringComparison.Ordinal).Replace("|", "\\|", StringComparison.Ordinal).Replace("[", "\\[", StringComparison.Ordinal);
    }
}
