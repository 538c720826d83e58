using System.Text;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Reports;

/// <summary>The result in a few plain lines for the terminal.</summary>
public static class TextSummary
{
    /// <summary>Verdict, why and what to do for each fixture, then each format over the levels that share a verdict (the worst of them), then the notes. Ends in a line break; no colour, no table.</summary>
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
            if (fixture.Levels.Count == 1) text.Append("  Light: ").Append(Light(fixture.Levels[0])).Append('\n');
            foreach (FixtureSection.Run run in FixtureSection.RunsOf(fixture))
            {
                text.Append("  ").Append(run.Format).Append(run.Levels is null ? "" : ", dimmer at " + run.Levels).Append(": ").Append(Words.Verdict(run.Worst.Verdict).ToUpperInvariant())
                    .Append(", ").Append(Words.Percent(run.Worst.ModulationDepth)).Append(" on camera, ").Append(FixtureSection.Shows(run.Worst)).Append('\n');
            }
            foreach (string note in Notes(fixture)) text.Append("  Note: ").Append(note).Append('\n');
        }
        return text.ToString();
    }

    private static string Light(LevelResult level)
    {
        string hertz = Words.Fundamental(level, "frequency open, ");
        return level.Light.ModulationDepth is { } depth ? $"{hertz}, modulation depth {Words.Percent(depth)}" : hertz;
    }

    private static IEnumerable<string> Notes(FixtureResult fixture) => fixture.Levels
        .SelectMany(level => level.Takes.SelectMany(take => take.Warnings).Where(warning => !IsSettled(warning, level)))
        .Select(warning => Words.Clean(warning.Message)).Distinct(StringComparer.Ordinal);

    // What one take leaves open by itself is no news where the level's other takes answer it; a fail has other reasons and says nothing of that.
    private static bool IsSettled(ReasonResult warning, LevelResult level) =>
        warning.Code == FindingCodes.LockedBands && level.Takes.Count > 1 && level.Formats.Count > 0
        && level.Formats.All(format => format.Verdict != "fail" && format.Reasons.All(reason => reason.Code != FindingCodes.LockedBands));
}
