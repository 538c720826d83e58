using System.Text;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Reports;

/// <summary>The result in a few plain lines for the terminal.</summary>
public static class TextSummary
{
    /// <summary>Verdict, why and what to do for each fixture, then each format at each level, then the notes. Ends in a line break; no colour, no table.</summary>
    public static string Write(ResultDocument document)
    {
        StringBuilder text = new();
        foreach (FixtureResult fixture in Answer.InOrderOfDecision(document.Fixtures))
        {
            Answer answer = Answer.For(fixture);
            text.Append(answer.Fixture).Append(": ").Append(Words.Verdict(answer.Verdict).ToUpperInvariant())
                .Append(" (").Append(Words.Meaning(answer.Verdict, fixture.NextTake is not null)).Append(")\n");
            text.Append("  Why: ").Append(answer.Why).Append('\n');
            foreach (string step in answer.Do) text.Append("  Do: ").Append(step).Append('\n');
            foreach (LevelResult level in fixture.Levels) Level(text, level);
            foreach (string note in Notes(fixture)) text.Append("  Note: ").Append(note).Append('\n');
        }
        return text.ToString();
    }

    private static void Level(StringBuilder text, LevelResult level)
    {
        string at = Words.Dimmer(level.Dimmer) is { } dimmer ? $"At {dimmer}: " : "Light: ";
        string hertz = level.Light.FundamentalHz is { } fundamental ? Words.Hertz(fundamental)
            : level.Light.CandidatesHz.Count > 0 ? "frequency open, " + Words.HertzList(level.Light.CandidatesHz)
            : "no flicker found";
        string depth = level.Light.ModulationDepth is { } found ? ", modulation depth " + Words.Percent(found) : "";
        text.Append("  ").Append(at).Append(hertz).Append(depth).Append('\n');
        foreach (FormatResult format in level.Formats)
        {
            text.Append("    ").Append(FixtureSection.Name(format)).Append(": ").Append(Words.Verdict(format.Verdict).ToUpperInvariant())
                .Append(", ").Append(Words.Percent(format.ModulationDepth)).Append(" on camera, ").Append(FixtureSection.Shows(format)).Append('\n');
        }
    }

    private static IEnumerable<string> Notes(FixtureResult fixture) => fixture.Levels
        .SelectMany(level => level.Takes).SelectMany(take => take.Warnings)
        .Select(warning => Words.Clean(warning.Message)).Distinct(StringComparer.Ordinal);
}
