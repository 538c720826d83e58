using System.Globalization;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Reports;

/// <summary>What people in the room may notice, kept apart from the camera's verdict.</summary>
internal static class RoomSection
{
    public static IEnumerable<Block> Build(IReadOnlyList<FixtureResult> fixtures)
    {
        List<IReadOnlyList<Cell>> rows = [];
        foreach (FixtureResult fixture in fixtures)
        {
            // For each figure the level at which it is largest; where no level has a value, one line says so.
            var figures = fixture.Levels.Where(level => level.Room is not null)
                .SelectMany(level => level.Room!.Figures.Select(figure => (level.Dimmer, Figure: figure)))
                .GroupBy(entry => entry.Figure.Metric, StringComparer.Ordinal);
            foreach (var figure in figures)
            {
                (double? dimmer, RoomFigure worst) = figure.OrderByDescending(entry => entry.Figure.Value ?? double.NegativeInfinity).First();
                rows.Add(
                [
                    Words.Clean(fixture.Name),
                    Words.Clean(worst.Metric),
                    worst.Value is { } value ? Number(value, worst.Unit) + (Words.Dimmer(dimmer) is { } at ? " at " + at : "") : "can't be told from this footage",
                    worst.Line is { } line ? Number(line, worst.Unit) + (string.IsNullOrWhiteSpace(worst.Source) ? "" : ", " + Words.Clean(worst.Source)) : "–",
                    Words.Clean(worst.Remark),
                ]);
            }
        }
        if (rows.Count == 0) yield break;
        yield return new HeadingBlock(2, "People in the room", "room");
        yield return new TextBlock("Informative, not a compliance test. These figures say nothing about cameras, and a camera clip can't replace a light meter made for them.");
        yield return new TableBlock(
            "Figures for viewers in the room, at the level where each is largest (informative, not a compliance test)",
            [new("Fixture", 1.2), new("Figure", 2), new("Value", 1.3), new("Usual line", 1.8), new("What this footage can't see", 2)],
            rows);
    }

    private static string Number(double value, string unit) =>
        (value.ToString("0.###", CultureInfo.InvariantCulture) + " " + Words.Clean(unit)).TrimEnd();
}
