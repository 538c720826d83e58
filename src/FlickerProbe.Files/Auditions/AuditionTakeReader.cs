using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Files.Yaml;
using FlickerProbe.Footage;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Auditions;

/// <summary>Reads one take of an audition file.</summary>
internal static class AuditionTakeReader
{
    // Angles are read at any rate here, only to see whether they are angles.
    private static readonly FrameRate SlowestRate = FrameRate.FromRational(1, 1);

    internal static AuditionTake Read(YamlMap map, List<AuditionCamera> cameras, AuditionPaths paths)
    {
        map.Only("a take", AuditionKeys.Take);
        YamlScalar clip = map.Required("clip", "A take").AsScalar("'clip'");
        FrameRate? rate = map.Parsed("frame-rate", FrameRate.Parse);
        YamlScalar? shutter = map.Find("shutter")?.AsScalar("'shutter'");
        string? shutterText = shutter?.Text is "unknown" ? null : shutter?.Text;
        if (shutterText is not null) shutter!.Parsed(text => ExposureTime.Parse(text, rate ?? SlowestRate));

        List<double> sweep = map.Sequence("sweep") is { } list ? ReadLevels(list, "sweep") : [];
        if (map.Find("sweep") is { } sweepItem)
        {
            if (map.Find("dimmer") is { } both) throw both.Problem("A take has either 'dimmer' (one level) or 'sweep' (stepped through several), not both.");
            if (sweep.Count < 2) throw sweepItem.Problem("'sweep' needs at least two levels; for one level write 'dimmer'.");
            for (int i = 1; i < sweep.Count; i++)
            {
                if (sweep[i] == sweep[i - 1])
                    throw sweepItem.Problem($"'sweep' names {Percent(sweep[i])} twice in a row: two equal levels can't be told apart in the clip; name it once.");
            }
            if (sweep.Distinct().Count() < sweep.Count) throw sweepItem.Problem("'sweep' names a level twice: step through each level once.");
        }
        double? dimmer = map.Find("dimmer")?.AsScalar("'dimmer'") is { } level ? ReadLevel(level, "dimmer") : null;
        YamlScalar? reference = map.Find("reference")?.AsScalar("'reference'");
        string clipPath = paths.Full(clip, "clip");
        string? referencePath = reference is null ? null : paths.Full(reference, "reference");
        if (referencePath == clipPath) throw reference!.Problem("'reference' is the take itself: it must be a clip of the same view with the fixture off.");

        return new AuditionTake(
            map.Line, clip.Text, clipPath, AuditionFixtureReader.FindCamera(map, cameras)?.Name, rate, shutterText, dimmer, sweep,
            ReadStretches(map, sweep.Count), ReadRegion(map), reference?.Text, referencePath, map.Text("purpose"), map.Text("notes"));
    }

    /// <summary>A list of dimmer levels as shares 0…1.</summary>
    internal static List<double> ReadLevels(YamlSequence list, string what) => [.. list.Items.Select(item => ReadLevel(item.AsScalar($"A level of '{what}'"), what))];

    internal static double ReadLevel(YamlScalar item, string what)
    {
        if (Parsing.Share(item.Text) is { } share) return Math.Round(share, 6); // so that 33.3% and 0.333 are one level
        string way = Parsing.Number(item.Text) is > 1 and <= 100 and { } bare
            ? string.Create(CultureInfo.InvariantCulture, $"write {bare}%")
            : "write a level from 0% to 100%, such as 50%";
        throw item.Problem($"'{item.Text}' is not a dimmer level for '{what}': {way}.");
    }

    private static Region? ReadRegion(YamlMap map) => map.Find("region") switch
    {
        null => null,
        YamlSequence list => new YamlScalar(list.File, list.Line, string.Join(",", list.Items.Select(i => i.AsScalar("A number of 'region'").Text)), true).Parsed(Region.Parse),
        YamlItem item => item.AsScalar("'region'").Parsed(Region.Parse),
    };

    private static List<(double FromSeconds, double ToSeconds)> ReadStretches(YamlMap map, int levels)
    {
        List<(double From, double To)> stretches = [];
        if (map.Find("stretches") is not { } found) return stretches;
        foreach (YamlItem item in found.AsSequence("'stretches'").Items)
        {
            YamlItem[] ends = [.. item.AsSequence("A stretch").Items];
            if (ends.Length != 2) throw item.Problem("A stretch is two times in seconds, from and to, such as [2.5, 9].");
            double from = ends[0].AsScalar("A time").Number("A time"), to = ends[1].AsScalar("A time").Number("A time");
            if (from < 0 || to <= from || (stretches.Count > 0 && from < stretches[^1].To))
                throw item.Problem("The stretches must run forward in time without overlap, from 0 seconds on.");
            stretches.Add((from, to));
        }
        if (stretches.Count != levels)
            throw found.Problem(string.Create(CultureInfo.InvariantCulture, $"'stretches' has {stretches.Count} entries but 'sweep' has {levels} levels: give one stretch for each level."));
        return stretches;
    }

    private static string Percent(double share) => string.Create(CultureInfo.InvariantCulture, $"{share * 100:0.###}%");
}
