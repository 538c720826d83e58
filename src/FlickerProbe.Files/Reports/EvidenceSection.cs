using System.Globalization;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Reports;

/// <summary>What was measured, level by level and take by take; the worst level of each fixture is unfolded.</summary>
internal static class EvidenceSection
{
    public static IEnumerable<Block> Build(IReadOnlyList<FixtureResult> fixtures, ClipRegions regions)
    {
        yield return new HeadingBlock(2, "Evidence", "evidence");
        yield return new TextBlock("Values carry their 95 % interval in brackets. Amplitudes are relative to the mean light.", Small: true);
        foreach (FixtureResult fixture in fixtures)
        {
            LevelResult? worst = WorstLevel.Of(fixture);
            foreach (LevelResult level in fixture.Levels)
            {
                string at = Words.Dimmer(level.Dimmer) is { } dimmer ? " at " + dimmer : "";
                string summary = $"{Words.Clean(fixture.Name)}{at}{(fixture.IsInUse(level) ? "" : " (not in use)")}: {Words.Verdict(level.Verdict)}";
                List<Block> blocks = [Light(level)];
                // With one level the fixture's own table has said this already.
                if (fixture.Levels.Count > 1 && level.Formats.Count > 0) blocks.Add(Formats(level));
                foreach (TakeResult take in level.Takes) blocks.AddRange(Take(take, level, regions, fixture.Name));
                if (level.Takes.Count == 0) blocks.Add(new TextBlock("No take of this level could be measured."));
                yield return new FoldBlock(summary, Open: fixtures.Count == 1 && fixture.Levels.Count == 1 || ReferenceEquals(level, worst), blocks);
            }
        }
    }

    private static TableBlock Light(LevelResult level)
    {
        LightResult light = level.Light;
        List<IReadOnlyList<Cell>> rows =
        [
            ["Fundamental", Words.Fundamental(level, "open: ")],
            ["Modulation depth", light.ModulationDepth is { } depth ? Words.Percent(depth) : "not known"],
            ["Flicker index", light.FlickerIndex is { } index ? Words.Number(index) : "not known"],
        ];
        rows.AddRange(light.Components.Select((component, i) => (IReadOnlyList<Cell>)
        [
            string.Create(CultureInfo.InvariantCulture, $"Component {i + 1}, {component.State}"),
            $"{Words.Hertz(component.FrequencyHz)}, amplitude {Words.Percent(component.Amplitude)}",
        ]));
        return new TableBlock("The light itself, from all takes of this level, with the shutter's effect undone", [new("Quantity"), new("Value", 2.5)], rows);
    }

    private static TableBlock Formats(LevelResult level) => new(
        "On camera at this level",
        [new("Camera format", 1.4), new("Verdict", 0.9), new("Depth on camera", 1.3), new("How it shows", 1.7), new("Why", 2.8)],
        level.Formats.Select(format => (IReadOnlyList<Cell>)
        [
            FixtureSection.Name(format), new Cell(Words.Verdict(format.Verdict), format.Verdict), Words.Percent(format.ModulationDepth), FixtureSection.Shows(format),
            Words.Reasons(format.Reasons),
        ]).ToList());

    private static IEnumerable<Block> Take(TakeResult take, LevelResult level, ClipRegions regions, string fixture)
    {
        IReadOnlyList<(int Number, string Fixture, TakeResult Take)> all = regions.Of(take, level.Dimmer);
        int number = all.Where(entry => entry.Take.Region == take.Region).Select(entry => entry.Number).FirstOrDefault(1);
        yield return new HeadingBlock(4, "Take " + Words.Clean(take.Clip));
        yield return new TextBlock(string.Create(
            CultureInfo.InvariantCulture,
            $"{ReportContent.Count(take.Frames, "frame", "frames")}{(take.FrameRate is null ? "" : $" at {Words.Rate(take.FrameRate)} fps")}, shutter {Words.Exposure(take.ExposureTime)}, readout {Words.Readout(take.ReadoutTime)}. Region {number}: {take.Region.Width} × {take.Region.Height} pixels from ({take.Region.X}, {take.Region.Y})."));
        if (take.Warnings.Count > 0) yield return new ListBlock(take.Warnings.Select(warning => Words.Clean(warning.Message)).ToList(), ListKind.Warning);
        yield return new PicturesBlock(TakeFigures.Of(take, number, all));
        yield return Recorded(take);
        if (take.Tones.Count > 0) yield return Tones("Tones found, largest first", take.Tones);
        foreach (Block block in Colours(take)) yield return block;
    }

    /// <summary>The colours one by one where they say something else than all of them together, else a line.</summary>
    private static IEnumerable<Block> Colours(TakeResult take)
    {
        IReadOnlyList<ChannelResult> channels = take.Channels ?? [];
        if (channels.Count == 0) yield break;
        if (channels.All(c => c.ModulationDepth is { } alone && take.ModulationDepth is { } together && alone.Low <= together.High && alone.High >= together.Low))
        {
            yield return new TextBlock($"The colours by themselves ({string.Join(", ", channels.Select(c => $"{Words.Clean(c.Channel)} {Words.Percent(c.ModulationDepth!.Value)}"))}) show nothing that brightness does not.");
            yield break;
        }
        foreach (ChannelResult channel in channels)
        {
            string name = Words.Clean(channel.Channel);
            yield return channel.Tones.Count > 0
                ? Tones($"Tones in {name} alone", channel.Tones)
                : new TextBlock($"In {name} alone no tone was found; the detection limit is {Words.PercentBound(channel.DetectionLimit)}.");
        }
    }

    private static TableBlock Recorded(TakeResult take)
    {
        List<IReadOnlyList<Cell>> rows =
        [
            ["Modulation depth as recorded", take.ModulationDepth is { } depth ? Words.Percent(depth) + (LargestDoubt(take.ModulationDepthParts) is { } doubt ? "; largest doubt: " + doubt : "") : "not known"],
            ["Flicker index as recorded", take.FlickerIndex is { } index ? Words.Number(index) : "not known"],
            ["Detection limit", $"{Words.PercentBound(take.DetectionLimit)}: a fainter tone could not have shown in this recording"],
        ];
        if (take.SlowestBeatHz is { } slowest) rows.Add(["Slowest beat it could show", Words.Hertz(slowest)]);
        if (take.LockedBound is { } locked) rows.Add(["Bands locked to the frame rate", $"up to {Words.PercentBound(locked)} of amplitude can't be excluded"]);
        rows.Add(["Brightness on the signal scale", string.Create(CultureInfo.InvariantCulture,
            $"mean {take.Level.Mean * 100:0.#} %, peak {take.Level.Peak * 100:0.#} %, clipped {take.Level.Clipped * 100:0.##} %, too dark {take.Level.Dark * 100:0.##} %")]);
        return new TableBlock("This take", [new("Quantity"), new("Value", 1.9)], rows);
    }

    private static TableBlock Tones(string caption, IReadOnlyList<ToneResult> tones) => new(
        caption,
        [new("Frequency of the light", 2), new("Alias at the frame rate", 1.1), new("Amplitude on camera", 1.5), new("Largest doubt", 1.3)],
        tones.Select(tone => (IReadOnlyList<Cell>)
        [
            tone.FrequencyHz is { } hertz ? Words.Hertz(hertz) : "open: " + Words.HertzList(tone.CandidatesHz),
            tone.AliasHz is { } alias ? Words.Hertz(alias) : "a still has none",
            Words.Percent(tone.Amplitude),
            LargestDoubt(tone.Parts) ?? "–",
        ]).ToList());

    private static string? LargestDoubt(IReadOnlyList<IntervalPart> parts) =>
        parts.MaxBy(part => part.HalfWidth) is { } part ? $"{Words.Clean(part.Cause)}, ±{Words.PercentBound(part.HalfWidth)}" : null;
}
