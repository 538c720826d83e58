using FlickerProbe.Footage;

namespace FlickerProbe.Picture;

/// <summary>Order and names of several areas: left to right, top to bottom, and where each lies in words.</summary>
public static class ReadingOrder
{
    /// <summary>The areas in reading order.</summary>
    /// <param name="regions">In pixels as displayed.</param>
    /// <returns>Index of each area in <paramref name="regions"/>, and its words: empty for a single one, left, right, top left, …; a number where words run out.</returns>
    /// <remarks>Areas whose middles lie within half a height of one another stand in one row, so that a pixel more or less changes no name.</remarks>
    public static IReadOnlyList<(int Index, string Words)> Of(IReadOnlyList<Region> regions)
    {
        if (regions.Count == 0) return [];
        if (regions.Count == 1) return [(0, "")];
        var lines = new List<List<int>>();
        foreach (int index in Enumerable.Range(0, regions.Count).OrderBy(i => MiddleY(regions[i])))
        {
            List<int>? line = lines.LastOrDefault();
            if (line is not null && line.Any(other => Math.Abs(MiddleY(regions[other]) - MiddleY(regions[index])) < 0.5 * Math.Max(regions[other].Height, regions[index].Height))) line.Add(index);
            else lines.Add([index]);
        }
        bool worded = lines.Count <= 3 && lines.All(line => line.Count <= 3);
        var order = new List<(int, string)>();
        for (int l = 0; l < lines.Count; l++)
        {
            int[] line = [.. lines[l].OrderBy(i => regions[i].X)];
            for (int n = 0; n < line.Length; n++)
            {
                string words = string.Join(' ', new[] { Place(l, lines.Count, "top", "bottom"), Place(n, line.Length, "left", "right") }.Where(w => w.Length > 0));
                if (words == "middle middle") words = "middle";
                order.Add((line[n], worded ? words : (order.Count + 1).ToString(System.Globalization.CultureInfo.InvariantCulture)));
            }
        }
        return order;
    }

    private static double MiddleY(Region region) => region.Y + region.Height / 2.0;

    private static string Place(int n, int count, string first, string last) =>
        count == 1 ? "" : n == 0 ? first : n == count - 1 ? last : "middle";
}
