using System.Globalization;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Reports;

/// <summary>One fixture: the answer, what each house format will show, and the curves.</summary>
internal static class FixtureSection
{
    public static IEnumerable<Block> Build(FixtureResult fixture, string anchor)
    {
        yield return new HeadingBlock(2, Words.Clean(fixture.Name), anchor);
        yield return new AnswerBlock(Answer.For(fixture), Facts(fixture));
        if (Beyond(fixture) is { Count: > 0 } beyond) yield return new ListBlock(beyond, ListKind.Plain);
        if (Formats(fixture) is { Rows.Count: > 0 } table) yield return table;
        if (FurtherReasons(fixture) is { Count: > 0 } further) yield return new ListBlock(further, ListKind.Plain);
        if (Lines(fixture) is { Count: > 0 } lines) yield return new TextBlock("Lines held against: " + string.Join(" ", lines), Small: true);

        List<Figure> figures = [];
        if (DimmingCurve(fixture) is { } curve) figures.Add(curve);
        if (fixture.RiskGrid is { } grid)
        {
            figures.Add(Figure.Of(
                "risk-map",
                "Largest depth to expect at each frame rate and shutter, at the worst level in use. Framed with a tick: under the pass line.",
                RiskMapPlot.Draw(grid)));
        }
        if (figures.Count > 0) yield return new PicturesBlock(figures);

        if (fixture.SafeExposures is { Count: > 0 } safe)
        {
            yield return new TableBlock(
                "Shutters that stay under the pass line at every level in use",
                [new("Frame rate"), new("Shutter"), new("Depth on camera", 1.6), new("Holds while the mains stays within", 1.6)],
                safe.Select(exposure => (IReadOnlyList<Cell>)
                    [Words.Rate(exposure.FrameRate) + " fps", Words.Clean(exposure.Label), Words.Percent(exposure.ModulationDepth), Words.MainsTolerance(exposure.MainsToleranceHz)]).ToList());
            if (safe.Any(exposure => exposure.MainsToleranceHz is not null))
                yield return new TextBlock("For scale: large interconnected grids stay within ±0.05 Hz in normal operation (Continental Europe) and within ±1 % for 99.5 % of a year (EN 50160, as restated in meter manuals); a small generator may not.", Small: true);
        }
        else if (fixture.SafeExposures is not null)
        {
            yield return new TextBlock("No shutter was found that stays under the pass line at every level in use.");
        }
    }

    /// <summary>The name of a format, as all tables and curves write it.</summary>
    public static string Name(FormatResult format) => Words.Format(format.Camera, format.FrameRate, format.ExposureTime);

    /// <summary>Reasons after the first that no format gives: the others stand in the table, level by level in the evidence.</summary>
    private static List<string> Beyond(FixtureResult fixture)
    {
        List<string> told = fixture.Levels.SelectMany(level => level.Formats).SelectMany(format => format.Reasons).Select(reason => reason.Message).Distinct(StringComparer.Ordinal).ToList();
        return fixture.Reasons.Skip(1).Select(reason => reason.Message).Where(message => !told.Exists(t => message.EndsWith(t, StringComparison.Ordinal))).Select(Words.Clean).ToList();
    }

    /// <summary>Where the lines come from, each once.</summary>
    private static List<string> Lines(FixtureResult fixture) => fixture.Levels.SelectMany(level => level.Formats).SelectMany(format => format.Reasons)
        .Select(reason => reason.Source).Where(source => !string.IsNullOrWhiteSpace(source)).Distinct(StringComparer.Ordinal)
        .Select(source => Words.Clean(source!) is var text && text.EndsWith('.') ? text : text + ".").Select(text => char.ToUpperInvariant(text[0]) + text[1..]).ToList();

    /// <summary>Where it shows: phrase, beat and bands.</summary>
    public static string Shows(FormatResult format)
    {
        List<string> parts = [];
        if (!string.IsNullOrWhiteSpace(format.Appearance)) parts.Add(Words.Clean(format.Appearance));
        if (format.BeatHz.Count > 0) parts.Add("beat " + string.Join(", ", format.BeatHz.Take(3).Select(hertz => Words.Hertz(hertz))));
        if (format.Bands is > 0) parts.Add(string.Create(CultureInfo.InvariantCulture, $"{format.Bands.Value:0.#} bands"));
        return parts.Count == 0 ? "not known" : string.Join("; ", parts);
    }

    private static List<string> Facts(FixtureResult fixture)
    {
        List<string> facts = [];
        if (DimmingRange.Of(fixture) is { } range) facts.Add("Usable dimming range: " + range);
        if (Answer.SafeShutters(fixture) is { } safe) facts.Add("Safe shutters at " + safe);
        foreach ((string name, string? value) in new[] { ("Mode", fixture.Mode), ("Firmware", fixture.Firmware), ("Price", fixture.Price), ("Notes", fixture.Notes) })
        {
            if (!string.IsNullOrWhiteSpace(value)) facts.Add($"{name}: {Words.Clean(value)}");
        }
        return facts;
    }

    /// <summary>A format over a run of neighbouring levels with the same verdict, told by the run's worst level.</summary>
    /// <param name="Levels">The levels in words; null when the dimmer setting was not given.</param>
    /// <param name="Format">The format's name.</param>
    /// <param name="Worst">The format's result at the worst level of the run.</param>
    internal sealed record Run(string? Levels, string Format, FormatResult Worst);

    /// <summary>The runs of a fixture, format by format, from the highest level down.</summary>
    internal static List<Run> RunsOf(FixtureResult fixture) => fixture.Levels.OrderByDescending(level => level.Dimmer)
        .SelectMany(level => level.Formats.Select(format => new Entry(level.Dimmer, fixture.IsInUse(level), format)))
        .GroupBy(entry => Name(entry.Format))
        .SelectMany(name => Runs(name).Select(run => new Run(Levels(run[0], run[^1]), name.Key, run.MaxBy(entry => entry.Format.ModulationDepth.High)!.Format)))
        .ToList();

    private static TableBlock Formats(FixtureResult fixture)
    {
        bool dimmed = fixture.Levels.Any(level => level.Dimmer is not null);
        List<Column> columns = dimmed ? [new("Levels", 1.15)] : [];
        columns.AddRange([new("Camera format", 1.4), new("Verdict", 1.1), new(dimmed ? "Largest depth on camera" : "Depth on camera", 1.65), new("How it shows", 1.8), new("Why", 3.9)]);
        return new TableBlock("What the camera will show", columns, RunsOf(fixture).Select(run =>
        {
            List<Cell> row = dimmed ? [run.Levels ?? "not given"] : [];
            row.AddRange([
                run.Format,
                new Cell(Words.Verdict(run.Worst.Verdict), run.Worst.Verdict),
                Words.Percent(run.Worst.ModulationDepth),
                Shows(run.Worst),
                Words.Reasons(run.Worst.Reasons.Take(1)) + (run.Worst.Reasons.Count > 1 ? " More below." : ""),
            ]);
            return (IReadOnlyList<Cell>)row;
        }).ToList());
    }

    /// <summary>What else speaks for each verdict of the table: over the whole width, since a narrow column of it is not read.</summary>
    private static List<string> FurtherReasons(FixtureResult fixture) => [.. RunsOf(fixture).Where(run => run.Worst.Reasons.Count > 1).Select(run =>
        $"{(run.Levels is { } levels ? levels + ", " : "")}{run.Format}: {Words.Reasons(run.Worst.Reasons.Skip(1))}")];

    private sealed record Entry(double? Dimmer, bool IsInUse, FormatResult Format);

    private static List<List<Entry>> Runs(IEnumerable<Entry> levels)
    {
        List<List<Entry>> runs = [];
        foreach (Entry level in levels)
        {
            Entry? last = runs.Count > 0 ? runs[^1][^1] : null;
            if (level.Dimmer is not null && last?.Dimmer is not null && last.IsInUse == level.IsInUse && last.Format.Verdict == level.Format.Verdict) runs[^1].Add(level);
            else runs.Add([level]);
        }
        return runs;
    }

    private static string? Levels(Entry highest, Entry lowest) => highest.Dimmer is null ? null
        : (highest.Dimmer == lowest.Dimmer ? Words.Dimmer(highest.Dimmer)! : string.Create(CultureInfo.InvariantCulture, $"{lowest.Dimmer * 100:0.#}–{highest.Dimmer * 100:0.#} %"))
            + (highest.IsInUse ? "" : " (not in use)");

    private static Figure? DimmingCurve(FixtureResult fixture)
    {
        List<LevelResult> levels = fixture.Levels.Where(level => level.Dimmer is not null).OrderBy(level => level.Dimmer).ToList();
        if (levels.Select(level => level.Dimmer).Distinct().Count() < 2) return null;
        List<DimmingLine> lines = levels.SelectMany(level => level.Formats).Select(Name).Distinct(StringComparer.Ordinal).Select(name => new DimmingLine(
            name,
            levels.SelectMany(level => level.Formats.Where(format => Name(format) == name).Select(format => (level.Dimmer!.Value, format.ModulationDepth))).ToList())).ToList();
        List<(double, Units.Estimate)> source = levels.Where(level => level.Light.ModulationDepth is not null).Select(level => (level.Dimmer!.Value, level.Light.ModulationDepth!.Value)).ToList();
        if (source.Count > 1) lines.Add(new DimmingLine("the light itself", source));
        return Figure.Of(
            "dimming",
            "Modulation depth against dimmer level. Hollow marker: nothing was seen, the marker is the upper bound. Whisker: 95 % interval.",
            DimmingPlot.Draw("Depth against dimmer level", lines, VerdictLines.Pass([fixture]), VerdictLines.Fail([fixture])));
    }
}
