using System.Globalization;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Reports;

/// <summary>What the report says, in order: the decision, a page for each fixture, evidence, the room, method and limits, cautions, provenance.</summary>
/// <remarks>To add a section, write a method that yields its blocks and name it in <see cref="Build"/>; both HTML and PDF then have it.</remarks>
public static class ReportContent
{
    /// <summary>The report of a result.</summary>
    public static IReadOnlyList<Block> Build(ResultDocument document)
    {
        IReadOnlyList<FixtureResult> fixtures = Answer.InOrderOfDecision(document.Fixtures);
        ClipRegions regions = new(document);
        List<Block> blocks =
        [
            new HeadingBlock(1, Title(document)),
            new TextBlock(Subtitle(document), Small: true),
            .. Hazards(document),
            .. fixtures.Count == 1 ? [] : DecisionSection.Build(fixtures),
        ];
        for (int i = 0; i < fixtures.Count; i++)
        {
            if (fixtures.Count > 1) blocks.Add(new PageBreakBlock());
            blocks.AddRange(FixtureSection.Build(fixtures[i], Anchor(i)));
        }
        if (fixtures.Count > 1) blocks.Add(new PageBreakBlock());
        blocks.AddRange(EvidenceSection.Build(fixtures, regions));
        blocks.AddRange(RoomSection.Build(fixtures));
        blocks.AddRange(FixedSections.Method());
        blocks.AddRange(FixedSections.Cautions());
        blocks.AddRange(ProvenanceSection.Build(document));
        return blocks;
    }

    /// <summary>The report's title.</summary>
    public static string Title(ResultDocument document) =>
        !string.IsNullOrWhiteSpace(document.Title) ? Words.Clean(document.Title)
        : Clips(document) is [{ } only] ? "Flicker on camera: " + Words.Clean(only)
        : "Flicker on camera";

    internal static string Anchor(int fixture) => string.Create(CultureInfo.InvariantCulture, $"fixture-{fixture + 1}");

    internal static string Count(int number, string one, string many) => string.Create(CultureInfo.InvariantCulture, $"{number} {(number == 1 ? one : many)}");

    private static List<string> Clips(ResultDocument document) => AllTakes(document).Select(take => take.Clip).Distinct(StringComparer.Ordinal).ToList();

    internal static IEnumerable<TakeResult> AllTakes(ResultDocument document) => document.Fixtures.SelectMany(fixture => fixture.Levels).SelectMany(level => level.Takes);

    private static string Subtitle(ResultDocument document)
    {
        List<string> parts = [];
        if (!string.IsNullOrWhiteSpace(document.TestedBy)) parts.Add("Tested by " + Words.Clean(document.TestedBy));
        if (!string.IsNullOrWhiteSpace(document.TestedOn)) parts.Add("Shot on " + Words.Clean(document.TestedOn));
        parts.Add(Count(document.Fixtures.Count, "fixture", "fixtures"));
        parts.Add(Count(AllTakes(document).Count(), "take", "takes"));
        if (document.Created is { } made) parts.Add("Report made " + made.UtcDateTime.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture) + " UTC");
        return string.Join(" · ", parts);
    }

    private static IEnumerable<Block> Hazards(ResultDocument document)
    {
        List<string> messages = document.Fixtures
            .SelectMany(fixture => fixture.Reasons
                .Concat(fixture.Levels.SelectMany(level => level.Formats.SelectMany(format => format.Reasons).Concat(level.Takes.SelectMany(take => take.Warnings))))
                .Where(reason => reason.Code == FindingCodes.ViewerFlashHazard)
                .Select(reason => $"{Words.Clean(fixture.Name)}: {Words.Clean(reason.Message)}"))
            .Distinct(StringComparer.Ordinal).Take(4).ToList();
        if (messages.Count > 0) yield return new ListBlock(messages, ListKind.Caution);
    }
}

/// <summary>The regions measured in each clip, for numbering them the same everywhere.</summary>
internal sealed class ClipRegions(ResultDocument document)
{
    private readonly ILookup<(string Sha256, double? Dimmer), (string Fixture, TakeResult Take)> _takes = document.Fixtures
        .SelectMany(fixture => fixture.Levels.SelectMany(level => level.Takes.Select(take => (level.Dimmer, fixture.Name, Take: take))))
        .ToLookup(entry => (entry.Take.Sha256, entry.Dimmer), entry => (entry.Name, entry.Take));

    /// <summary>All regions measured in the clip of this take at this level: number, fixture's name and take; numbers start at 1.</summary>
    public IReadOnlyList<(int Number, string Fixture, TakeResult Take)> Of(TakeResult take, double? dimmer) =>
        _takes[(take.Sha256, dimmer)].DistinctBy(entry => entry.Take.Region).Select((entry, i) => (i + 1, Words.Clean(entry.Fixture), entry.Take)).ToList();
}

/// <summary>Lines that verdicts were held against, as far as the result's reasons name them.</summary>
internal static class VerdictLines
{
    /// <summary>Depth under which a light passes; null when no reason names one, or several differ.</summary>
    public static double? Pass(IEnumerable<FixtureResult> fixtures) => Only(fixtures, FindingCodes.UnderPassLine);

    /// <summary>Depth over which a light fails; null when no reason names one, or several differ.</summary>
    public static double? Fail(IEnumerable<FixtureResult> fixtures) => Only(fixtures, FindingCodes.OverFailLine);

    private static double? Only(IEnumerable<FixtureResult> fixtures, string code)
    {
        List<double> lines = fixtures.SelectMany(fixture => fixture.Levels).SelectMany(level => level.Formats).SelectMany(format => format.Reasons)
            .Where(reason => reason.Code == code && reason.Line is > 0).Select(reason => reason.Line!.Value).Distinct().ToList();
        return lines.Count == 1 ? lines[0] : null;
    }
}

/// <summary>The worst level of a fixture that is in use: by verdict, then by the largest depth that can't be excluded.</summary>
internal static class WorstLevel
{
    public static LevelResult? Of(FixtureResult fixture) => fixture.LevelsInUse
        .OrderByDescending(level => level.Verdict switch { "fail" => 2, "watch" => 1, _ => 0 })
        .ThenByDescending(level => level.Formats.Select(format => format.ModulationDepth.High).DefaultIfEmpty(0).Max())
        .FirstOrDefault();

    /// <summary>The largest depth on camera over levels in use and formats; null when there is none.</summary>
    public static Estimate? Depth(FixtureResult fixture)
    {
        List<Estimate> depths = fixture.LevelsInUse.SelectMany(level => level.Formats).Select(format => format.ModulationDepth).ToList();
        return depths.Count == 0 ? null : depths.MaxBy(depth => depth.High);
    }
}
