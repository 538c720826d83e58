using System.Globalization;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Reports;

/// <summary>What somebody needs to repeat the measurement.</summary>
internal static class ProvenanceSection
{
    public static IEnumerable<Block> Build(ResultDocument document)
    {
        yield return new HeadingBlock(2, "Provenance", "provenance");
        yield return new TextBlock(
            $"flickerprobe {Words.Clean(document.Tool.Version)}, result schema {Words.Clean(document.Schema)}, " +
            (document.Tool.PolicySha256 is { } policy ? $"own policy with sha256 {Words.Clean(policy)}." : "built-in policy."));
        List<IReadOnlyList<Cell>> rows = ReportContent.AllTakes(document)
            .DistinctBy(take => (take.Clip, take.Sha256, take.ExposureTime, take.ReadoutTime, take.FrameRate))
            .Select(take => (IReadOnlyList<Cell>)
            [
                Words.Clean(take.Clip),
                Words.Clean(take.Sha256),
                $"{(take.FrameRate is null ? "a still" : Words.Clean(take.FrameRate) + " fps")}, shutter {Words.Exposure(take.ExposureTime)}, readout {Words.Readout(take.ReadoutTime)}",
                Facts(take.Facts),
            ])
            .ToList();
        yield return new TableBlock("Clips", [new("Clip", 1.5), new("sha256", 2.8), new("Settings used", 1.6), new("The file says", 1.6)], rows);
    }

    private static string Facts(ClipFacts? facts)
    {
        if (facts is null) return "not recorded";
        List<string> parts =
        [
            Words.Clean(facts.Codec),
            string.Create(CultureInfo.InvariantCulture, $"{facts.Width} × {facts.Height}"),
            string.Create(CultureInfo.InvariantCulture, $"{facts.BitDepth} bit"),
            Words.Clean(facts.PixelFormat),
            Words.Clean(facts.Range) + " range",
            Words.Clean(facts.Transfer) + (facts.TransferAssumed ? " (assumed)" : ""),
        ];
        if (facts.FieldOrder is { } order) parts.Add(Words.Clean(order));
        if (facts.RotationDegrees != 0) parts.Add(string.Create(CultureInfo.InvariantCulture, $"rotated {facts.RotationDegrees}°"));
        return string.Join(", ", parts);
    }
}
