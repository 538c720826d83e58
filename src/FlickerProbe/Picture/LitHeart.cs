namespace FlickerProbe.Picture;

/// <summary>The evenly lit heart of a pool of light: up to an edge where the surface has one, else down to half of the light.</summary>
public static class LitHeart
{
    /// <summary>Share of the pool's light at which a pool without an edge is cut.</summary>
    public const double HalfLight = 0.5;

    /// <summary>A border counts as an edge when the light drops by this ratio more across it, over three cells, than beside it.</summary>
    private const double EdgeRatio = 1.3;

    private const double LowestCut = 0.3, HighestCut = 0.9, CutStep = 0.05;

    /// <summary>The cells of the heart.</summary>
    /// <param name="light">Light of each cell.</param>
    /// <param name="pool">The cells of the pool.</param>
    /// <param name="columns">Cells across.</param>
    /// <param name="rows">Cells down.</param>
    /// <param name="still">Whether the picture is a single one: then dimmer parts are welcome for their rows.</param>
    public static bool[] Of(float[] light, bool[] pool, int columns, int rows, bool still = false)
    {
        float[] sorted = [.. light.Where((_, cell) => pool[cell]).Order()];
        if (sorted.Length == 0) return new bool[pool.Length];
        double bright = sorted[(int)(0.98 * (sorted.Length - 1))];
        double best = still ? HalfLight / 2 : HalfLight, sharpest = Math.Log(EdgeRatio);
        for (double cut = LowestCut; cut <= HighestCut + 1e-9; cut += CutStep)
        {
            double edge = EdgeAround(light, Above(light, pool, cut * bright), pool, columns, rows);
            // A little sharper is no reason to throw light away.
            if (edge > sharpest * 1.1) (best, sharpest) = (cut, edge);
        }
        // Small holes are noise, but what the pool itself leaves out stays out.
        return [.. CellSets.Closed(Above(light, pool, best * bright), columns, rows).Select((inside, cell) => inside && pool[cell])];
    }

    private static bool[] Above(float[] light, bool[] pool, double level) => [.. pool.Select((inside, cell) => inside && light[cell] >= level)];

    /// <summary>Median over the border of a set of how much more log light drops across it than on either side of it: a falloff has no edge.</summary>
    private static double EdgeAround(float[] light, bool[] set, bool[] pool, int columns, int rows)
    {
        var drops = new List<double>();
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                if (!set[row * columns + column]) continue;
                AddBorder(column, row, -1, 0);
                AddBorder(column, row, 1, 0);
                AddBorder(column, row, 0, -1);
                AddBorder(column, row, 0, 1);
            }
        }
        if (drops.Count == 0) return 0;
        drops.Sort();
        return drops[drops.Count / 2];

        void AddBorder(int column, int row, int dx, int dy)
        {
            // Only borders inside the pool tell where to cut it.
            if (Cell(column + dx, row + dy) is not { } outside || set[outside] || !pool[outside]) return;
            double? across = Drop(-1, 2), within = Drop(-4, -1), beyond = Drop(2, 5);
            if (across is { } drop) drops.Add(drop - ((within ?? beyond ?? 0) + (beyond ?? within ?? 0)) / 2);

            double? Drop(int from, int to) =>
                Cell(column + from * dx, row + from * dy) is { } high && Cell(column + to * dx, row + to * dy) is { } low
                    ? Math.Log(Math.Max(light[high], 1e-6) / Math.Max(light[low], 1e-6))
                    : null;
        }

        int? Cell(int column, int row) => column < 0 || row < 0 || column >= columns || row >= rows ? null : row * columns + column;
    }
}
