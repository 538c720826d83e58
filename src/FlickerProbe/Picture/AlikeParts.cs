namespace FlickerProbe.Picture;

/// <summary>Parts of a lit area that flicker differently: lamps whose light meets on one wall leave no edge for the eye, but each its own tone.</summary>
/// <remarks>Each cell of the maps is told by the tones that are strong in it; a tone is strong where it reaches half of the most that it has in
/// the area, so that a lamp's soft edge goes with the lamp that is stronger there. The shares are the project's own choice.</remarks>
public static class AlikeParts
{
    /// <summary>A tone is strong from this share of its largest amplitude in the area on.</summary>
    private const double StrongShare = 0.5;

    /// <summary>Fainter tones than this are too near to what a single cell can tell.</summary>
    private const double FaintestTone = 0.02;

    /// <summary>Shares of the area: what the cells of a part must cover, and its rectangle.</summary>
    private const double LeastShare = 0.15, LeastRectangle = 0.1;

    /// <summary>The rectangles of the parts, those with the strongest flicker first; empty when the area flickers alike or is too small to tell.</summary>
    /// <param name="area">Where, on the grid of the maps.</param>
    /// <param name="maps">One map for each tone that may tell parts apart.</param>
    public static IReadOnlyList<CellRect> Of(CellRect area, IReadOnlyList<ToneMap> maps)
    {
        double[] largest = [.. maps.Select(m => Cells(area, m).Where(c => float.IsFinite(m.Amplitude[c])).Select(c => (double)m.Amplitude[c]).DefaultIfEmpty(0).Max())];
        var kinds = new Dictionary<int, List<(int Cell, double Amplitude)>>();
        foreach (int cell in maps.Count == 0 ? [] : Cells(area, maps[0]))
        {
            int kind = 0;
            double strongest = 0;
            for (int k = 0; k < maps.Count; k++)
            {
                double amplitude = maps[k].Amplitude[cell];
                if (largest[k] < FaintestTone || !(amplitude >= StrongShare * largest[k])) continue;
                kind |= 1 << k;
                strongest = Math.Max(strongest, amplitude);
            }
            if (!kinds.TryGetValue(kind, out List<(int, double)>? cells)) kinds.Add(kind, cells = []);
            cells.Add((cell, strongest));
        }
        var parts = new List<(CellRect Rect, double Amplitude)>();
        foreach (List<(int Cell, double Amplitude)> cells in kinds.Values.Where(c => c.Count >= LeastShare * area.Area))
        {
            bool[] belongs = new bool[maps[0].Columns * maps[0].Rows];
            foreach ((int cell, _) in cells) belongs[cell] = true;
            CellRect rect = LargestRectangle.In(belongs, maps[0].Columns, maps[0].Rows);
            if (rect.Area >= LeastRectangle * area.Area && rect.Area > 1) parts.Add((rect, cells.Average(c => c.Amplitude)));
        }
        return parts.Count < 2 ? [] : [.. parts.OrderByDescending(p => p.Amplitude).Select(p => p.Rect)];
    }

    private static IEnumerable<int> Cells(CellRect area, ToneMap map) =>
        from row in Enumerable.Range(area.Top, area.Height)
        from column in Enumerable.Range(area.Left, area.Width)
        select row * map.Columns + column;
}
