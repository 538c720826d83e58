using System.Globalization;
using FlickerProbe.Files.Results;
using FlickerProbe.Room;
using RoomFigure = FlickerProbe.Files.Results.RoomFigure;

namespace FlickerProbe.Files.Reports;

/// <summary>What people in the room may notice, kept apart from the camera's verdict.</summary>
internal static class RoomSection
{
    public static IEnumerable<Block> Build(IReadOnlyList<FixtureResult> fixtures)
    {
        // For each figure of a fixture the level at which it is largest; where no level has a value, one line says so.
        Line[] lines = [.. fixtures.SelectMany(fixture => fixture.Levels.Where(level => level.Room is not null)
            .SelectMany(level => level.Room!.Figures.Select(figure => new Line(fixture.Name, level.Dimmer, figure)))
            .GroupBy(line => line.Figure.Metric, StringComparer.Ordinal)
            .Select(figure => figure.OrderByDescending(line => line.Figure.Value ?? double.NegativeInfinity).First()))];
        if (lines.Length == 0) yield break;
        yield return new HeadingBlock(2, "People in the room", "room");
        yield return new TextBlock(RoomView.NotATest + " These figures say nothing about cameras. Each is given at the level where it is largest.");
        // What shares a source shares a table: said once, it leaves the columns their width.
        foreach (var table in lines.GroupBy(line => line.Figure.Source, StringComparer.Ordinal))
        {
            string[] unseen = [.. table.Select(line => Unseen(line.Figure)).Distinct(StringComparer.Ordinal)];
            bool isShared = unseen.Length == 1;
            Column[] columns = [new("Figure", 2), new("Fixture", 1), new("Value", 1), new("Usual line", 0.6), .. isShared ? [] : new Column[] { new("What this footage can't see", 2.4) }];
            string source = string.IsNullOrWhiteSpace(table.Key) ? "no source" : Words.Clean(table.Key);
            yield return new TableBlock(
                $"For viewers in the room, informative: {source}", columns,
                [.. table.GroupBy(line => line.Figure.Metric, StringComparer.Ordinal).SelectMany(figure => figure).Select(line => (IReadOnlyList<Cell>)[.. Row(line), .. isShared ? [] : new Cell[] { Unseen(line.Figure) }])]);
            if (isShared && unseen[0].Length > 0) yield return new TextBlock("What this footage can't see: " + unseen[0], Small: true);
        }
    }

    private sealed record Line(string Fixture, double? Dimmer, RoomFigure Figure);

    private static Cell[] Row(Line line) =>
    [
        Words.Clean(line.Figure.Metric),
        Words.Clean(line.Fixture),
        line.Figure.Value is { } value ? Number(value, line.Figure.Unit) + (Words.Dimmer(line.Dimmer) is { } at ? " at " + at : "") : "can't be told",
        line.Figure.Line is { } usual ? Number(usual, line.Figure.Unit) : "–",
    ];

    // What the whole section begins with is not said in every line again.
    private static string Unseen(RoomFigure figure) => Words.Clean(figure.Remark.Replace(RoomView.NotATest, "", StringComparison.Ordinal)).Trim();

    private static string Number(double value, string unit) =>
        // "1" is the unit of plain numbers, which nobody reads out.
        (value.ToString("0.###", CultureInfo.InvariantCulture) + " " + (unit == "1" ? "" : Words.Clean(unit))).TrimEnd();
}
