using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Reports;

/// <summary>Several fixtures side by side: the sheet that a decision is made from.</summary>
internal static class DecisionSection
{
    /// <summary>The decision sheet.</summary>
    /// <param name="fixtures">The fixtures in the declared order.</param>
    public static IEnumerable<Block> Build(IReadOnlyList<FixtureResult> fixtures)
    {
        bool priced = fixtures.Any(fixture => fixture.Price is not null), dimmed = fixtures.Any(fixture => fixture.Levels.Any(level => level.Dimmer is not null));
        List<Column> columns = [new("Fixture", 1.2), new("Verdict", 0.95), new("Why", 3.8)];
        if (dimmed) columns.Add(new Column("Usable dimming", 1.15));
        columns.Add(new Column("Worst depth on camera", 1.35));
        if (priced) columns.Add(new Column("Price", 0.95));
        yield return new TableBlock(
            "Decision sheet, in the order of verdict, usable dimming range and price",
            columns,
            fixtures.Select(fixture =>
            {
                Answer answer = Answer.For(fixture);
                List<Cell> row = [answer.Fixture, new Cell(Words.Verdict(answer.Verdict), answer.Verdict), answer.Why];
                if (dimmed) row.Add(DimmingRange.Of(fixture)?.ToString() ?? "none shown");
                row.Add(WorstLevel.Depth(fixture) is { } depth ? Words.Percent(depth) : "not known");
                if (priced) row.Add(Words.Clean(fixture.Price ?? "–"));
                return (IReadOnlyList<Cell>)row;
            }).ToList());

        bool noted = fixtures.Any(fixture => !string.IsNullOrWhiteSpace(fixture.Notes));
        List<Column> more = [new("Fixture", 1.2), new("What to do", 4.4), new("Safe shutters", 1.6), new("Evidence", 1.1)];
        if (noted) more.Add(new Column("Notes", 1.2));
        yield return new TableBlock("What to do with each", more, fixtures.Select(fixture =>
        {
            Answer answer = Answer.For(fixture);
            List<Cell> row = [answer.Fixture, Answer.First(fixture), Answer.SafeShutters(fixture) ?? (fixture.SafeExposures is null ? "not computed" : "none found"), Evidence(fixture)];
            if (noted) row.Add(Words.Clean(fixture.Notes ?? ""));
            return (IReadOnlyList<Cell>)row;
        }).ToList());

        if (Comparison(fixtures) is { Count: > 0 } figures) yield return new PicturesBlock(figures);
    }

    internal static string Evidence(FixtureResult fixture)
    {
        int takes = fixture.Levels.Sum(level => level.Takes.Count), levels = fixture.Levels.Count(level => level.Dimmer is not null);
        string text = ReportContent.Count(takes, "take", "takes");
        return levels > 0 ? $"{text}, {ReportContent.Count(levels, "level", "levels")}" : text;
    }

    private static List<Figure> Comparison(IReadOnlyList<FixtureResult> fixtures)
    {
        List<Figure> figures = [];
        List<string> formats = fixtures.SelectMany(fixture => fixture.Levels).SelectMany(level => level.Formats).Select(FixtureSection.Name).Distinct(StringComparer.Ordinal).ToList();
        double? pass = VerdictLines.Pass(fixtures), fail = VerdictLines.Fail(fixtures);
        if (formats.Count > 0)
        {
            List<Candidate> candidates = fixtures.Select(fixture => new Candidate(
                Words.Clean(fixture.Name),
                formats.Select(name => Worst(fixture.LevelsInUse.SelectMany(level => level.Formats).Where(format => FixtureSection.Name(format) == name))).ToList())).ToList();
            figures.Add(Figure.Of(
                "comparison",
                "Each fixture at its worst dimmer level, by format. Hollow marker: nothing was seen, the marker is the upper bound. Whisker: 95 % interval.",
                ComparisonPlot.Draw(candidates, formats, pass, fail)));
        }

        List<DimmingLine> lines = fixtures.Select(fixture => new DimmingLine(Words.Clean(fixture.Name), fixture.Levels
            .Where(level => level.Dimmer is not null && level.Formats.Count > 0).OrderBy(level => level.Dimmer)
            .Select(level => (level.Dimmer!.Value, Worst(level.Formats)!.Value)).ToList())).Where(line => line.Points.Count > 1).ToList();
        if (lines.Count > 1)
        {
            figures.Add(Figure.Of(
                "comparison-dimming", "Each fixture at the format that suits it least, against dimmer level.", DimmingPlot.Draw("Worst format against dimmer level", lines, pass, fail)));
        }
        return figures;
    }

    private static Estimate? Worst(IEnumerable<FormatResult> formats)
    {
        List<Estimate> depths = formats.Select(format => format.ModulationDepth).ToList();
        return depths.Count == 0 ? null : depths.MaxBy(depth => depth.High);
    }
}
