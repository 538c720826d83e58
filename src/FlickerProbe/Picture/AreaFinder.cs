using FlickerProbe.Footage;

namespace FlickerProbe.Picture;

/// <summary>Finds what can be measured in a picture: lit surfaces that are bright enough, not clipped, still, and large enough in rows.</summary>
/// <remarks>Usable cells → pools of light (<see cref="LitBasins"/>) → the evenly lit heart of each pool → what moves is taken out
/// (<see cref="MovingCells"/>) → the largest rectangle. Every line below is the project's own choice unless a source is named.</remarks>
public static class AreaFinder
{
    /// <summary>Usable part of the signal scale: measurement model, trap 5.</summary>
    public const double DarkestLevel = 0.2, BrightestLevel = 0.9;

    /// <summary>Share of a cell that may lie at the ceiling.</summary>
    private const double ToleratedClipping = 0.005;

    /// <summary>A cell is patterned when its pixels differ from their neighbours by this share of the scale, and by this many times as much as in most lit cells.</summary>
    private const double RoughFrom = 0.03, RougherThanMost = 3;

    /// <summary>A cell through which something moves in more than this share of the frames is no longer still.</summary>
    private const double StillShare = 0.0;

    /// <summary>A whole area is kept although things pass through it while no cell of it is covered longer than this share of the frames.</summary>
    private const double PassingShare = 0.35;

    /// <summary>What is left beside a passer must be at least this share of the whole area to be preferred.</summary>
    private const double RestShare = 0.3;

    /// <summary>Smallest area: share of the picture's rows, of its columns, and of the light of the best area.</summary>
    private const double FewestRows = 0.08, FewestColumns = 0.02, LeastLight = 0.08;

    /// <summary>Most areas to name: more fixtures than this in one picture are better filmed in groups.</summary>
    private const int MostAreas = 8;

    /// <summary>Finds the areas.</summary>
    /// <param name="cells">The picture on a coarse grid.</param>
    /// <param name="orientation">How it is displayed.</param>
    public static FoundAreas Find(PictureCells cells, Orientation orientation)
    {
        float[] crest = cells.Crest();
        CellUse[] use = UseByLevel(cells, crest);
        List<bool[]> pools = Pools(cells, crest, use);
        // In a still the bands stand in the picture: a surface is as bright as the crests beside its troughs.
        float[] surface = cells.IsStill ? StandingBands.Close(crest, cells.Columns, cells.Rows) : crest;
        var found = new List<(CellRect Rect, bool Passes)>();
        foreach (bool[] pool in pools)
        {
            bool[] heart = BestSurface(surface, pool, cells);
            if (!IsLargeEnough(Largest(heart, cells), cells))
            {
                Mark(use, heart, CellUse.Small);
                continue;
            }
            if (StillPart(cells, heart, use) is { } still) found.Add(still);
        }

        double most = found.Select(f => LightIn(crest, f.Rect, cells)).DefaultIfEmpty(0).Max();
        var kept = found.Where(f => LightIn(crest, f.Rect, cells) >= LeastLight * most)
            .OrderByDescending(f => LightIn(crest, f.Rect, cells)).Take(MostAreas).ToList();
        foreach ((CellRect rect, bool _) in found) Mark(use, rect, cells, kept.Any(k => k.Rect == rect) ? CellUse.Measured : CellUse.Small);
        Region[] regions = [.. kept.Select(f => f.Rect.ToDisplayed(cells, orientation))];
        FoundArea[] areas = [.. ReadingOrder.Of(regions).Select(place => new FoundArea(
            regions[place.Index], kept[place.Index].Rect, MeanLevel(cells, kept[place.Index].Rect), place.Words) { SomethingPasses = kept[place.Index].Passes })];
        return new FoundAreas(areas, use, cells.Level.Max());
    }

    /// <summary>The surface of a pool that gives most light: a bright strip of table may lie before a wall that is a little dimmer and far larger.</summary>
    private static bool[] BestSurface(float[] light, bool[] pool, PictureCells cells)
    {
        const int Surfaces = 3;
        bool[] rest = pool, best = LitHeart.Of(light, pool, cells.Columns, cells.Rows, cells.IsStill), heart = best;
        double most = LightIn(light, Largest(best, cells), cells);
        for (int surface = 1; surface < Surfaces; surface++)
        {
            bool[] taken = CellSets.Grown(heart, cells.Columns, cells.Rows), left = rest;
            rest = [.. left.Select((inside, cell) => inside && !taken[cell])];
            heart = LitHeart.Of(light, rest, cells.Columns, cells.Rows, cells.IsStill);
            double given = LightIn(light, Largest(heart, cells), cells);
            if (given > most) (best, most) = (heart, given);
        }
        return best;
    }

    private static CellUse[] UseByLevel(PictureCells cells, float[] crest)
    {
        // The level of the crest: as the mean level in shares of the mean light would be for the same curve, near enough for a line of this kind.
        var use = new CellUse[cells.Count];
        float[] mean = MeanLight(cells);
        for (int cell = 0; cell < use.Length; cell++)
        {
            double crestLevel = mean[cell] > 0 ? cells.Level[cell] * Math.Sqrt(crest[cell] / mean[cell]) : 0;
            use[cell] = cells.Clipped[cell] > ToleratedClipping || cells.Level[cell] > BrightestLevel ? CellUse.Clipped
                : crestLevel < DarkestLevel ? CellUse.Dark : CellUse.Beside;
        }
        float[] rough = [.. cells.Roughness.Where((_, cell) => use[cell] == CellUse.Beside).Order()];
        if (rough.Length == 0) return use;
        double line = Math.Max(RoughFrom, RougherThanMost * rough[rough.Length / 2]);
        for (int cell = 0; cell < use.Length; cell++)
        {
            if (use[cell] == CellUse.Beside && cells.Roughness[cell] > line) use[cell] = CellUse.Patterned;
        }
        return use;
    }

    /// <summary>The pools of light, each as a set of cells; bands that stand still and cut one light into slices are closed first.</summary>
    private static List<bool[]> Pools(PictureCells cells, float[] crest, CellUse[] use)
    {
        bool[] usable = [.. use.Select(u => u == CellUse.Beside)];
        List<bool[]> pools = PoolsOf(LitBasins.Of(Smoothed(crest, cells.Columns, cells.Rows), usable, cells.Columns, cells.Rows));
        if (!StandingBands.CutOneLight(pools, cells.Columns, cells.Rows)) return pools;
        float[] closed = StandingBands.Close(crest, cells.Columns, cells.Rows);
        for (int cell = 0; cell < closed.Length; cell++)
        {
            crest[cell] = closed[cell];
            usable[cell] = use[cell] is not (CellUse.Clipped or CellUse.Patterned) && closed[cell] >= DarkestLevel * DarkestLevel;
            if (usable[cell]) use[cell] = CellUse.Beside;
        }
        return PoolsOf(LitBasins.Of(Smoothed(closed, cells.Columns, cells.Rows), usable, cells.Columns, cells.Rows));
    }

    private static List<bool[]> PoolsOf(int[] pool)
    {
        var pools = new List<bool[]>();
        for (int cell = 0; cell < pool.Length; cell++)
        {
            while (pools.Count <= pool[cell]) pools.Add(new bool[pool.Length]);
            if (pool[cell] >= 0) pools[pool[cell]][cell] = true;
        }
        return pools;
    }

    /// <summary>The largest still rectangle of an area; null when there is none.</summary>
    private static (CellRect, bool Passes)? StillPart(PictureCells cells, bool[] heart, CellUse[] use)
    {
        CellRect whole = Largest(heart, cells);
        float[] moved = MovingCells.ShareOfFrames(cells, heart);
        bool[] moving = CellSets.Opened([.. moved.Select(share => share > StillShare)], cells.Columns, cells.Rows);
        CellRect rest = Largest([.. heart.Select((inside, cell) => inside && !moving[cell])], cells);
        bool passing = moved.Max() <= PassingShare;
        Mark(use, moving, CellUse.Moving);
        if (rest.Area >= RestShare * whole.Area && IsLargeEnough(rest, cells)) return (rest, false);
        if (passing) return (whole, true);
        return IsLargeEnough(rest, cells) ? (rest, false) : null;
    }

    private static CellRect Largest(bool[] set, PictureCells cells) => LargestRectangle.In(set, cells.Columns, cells.Rows, cells.IsStill);

    private static bool IsLargeEnough(CellRect rect, PictureCells cells) =>
        rect.Height >= FewestRows * cells.Rows && rect.Width >= Math.Max(2, FewestColumns * cells.Columns);

    private static void Mark(CellUse[] use, bool[] cells, CellUse with)
    {
        for (int cell = 0; cell < cells.Length; cell++)
        {
            if (cells[cell]) use[cell] = with;
        }
    }

    private static void Mark(CellUse[] use, CellRect rect, PictureCells cells, CellUse with)
    {
        for (int row = rect.Top; row < rect.Top + rect.Height; row++) use.AsSpan(row * cells.Columns + rect.Left, rect.Width).Fill(with);
    }

    private static double LightIn(float[] light, CellRect rect, PictureCells cells)
    {
        double sum = 0;
        for (int row = rect.Top; row < rect.Top + rect.Height; row++)
        {
            foreach (float cell in light.AsSpan(row * cells.Columns + rect.Left, rect.Width)) sum += cell;
        }
        return sum;
    }

    /// <summary>Mean signal level of a rectangle of cells, 0 black … 1 nominal white.</summary>
    public static double MeanLevel(PictureCells cells, CellRect rect) => LightIn(cells.Level, rect, cells) / rect.Area;

    private static float[] MeanLight(PictureCells cells)
    {
        float[] mean = new float[cells.Count];
        foreach (float[] frame in cells.Light)
        {
            for (int cell = 0; cell < mean.Length; cell++) mean[cell] += frame[cell] / cells.Frames;
        }
        return mean;
    }

    /// <summary>Mean over 3 × 3 cells.</summary>
    private static float[] Smoothed(float[] light, int columns, int rows)
    {
        float[] smooth = new float[light.Length];
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                float sum = 0;
                int count = 0;
                for (int r = Math.Max(0, row - 1); r <= Math.Min(rows - 1, row + 1); r++)
                {
                    for (int c = Math.Max(0, column - 1); c <= Math.Min(columns - 1, column + 1); c++, count++) sum += light[r * columns + c];
                }
                smooth[row * columns + column] = sum / count;
            }
        }
        return smooth;
    }
}
