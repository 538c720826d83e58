namespace FlickerProbe.Picture;

/// <summary>Bands that stand still (in a still picture, or locked to the frame rate) cut one light into slices; they must not count as fixtures.</summary>
public static class StandingBands
{
    /// <summary>Slices of one light lie over one another in at least this share of their columns.</summary>
    private const double SameColumns = 0.7;

    /// <summary>So many slices in a stack are bands; lamps are rarely stacked that neatly.</summary>
    private const int FewestSlices = 3;

    /// <summary>Highest trough that is closed, share of the rows.</summary>
    private const int Reach = 6;

    /// <summary>Whether several of the pools are slices of one light.</summary>
    public static bool CutOneLight(IReadOnlyList<bool[]> pools, int columns, int rows)
    {
        var spans = pools.Select(pool => SpanOf(pool, columns, rows)).Where(s => s.Right - s.Left >= columns / 25).ToList();
        return spans.Any(one => spans.Count(other => Overlap(one, other) >= SameColumns) >= FewestSlices);
    }

    /// <summary>Fills every trough that is lower than a sixth of the picture, column by column: a closing by an upright line.</summary>
    public static float[] Close(float[] light, int columns, int rows)
    {
        int half = Math.Max(1, rows / Reach / 2);
        float[] highest = Extreme(light, columns, rows, half, MathF.Max, outside: float.NegativeInfinity);
        return Extreme(highest, columns, rows, half, MathF.Min, outside: float.PositiveInfinity);
    }

    private static float[] Extreme(float[] light, int columns, int rows, int half, Func<float, float, float> pick, float outside)
    {
        float[] result = new float[light.Length];
        for (int column = 0; column < columns; column++)
        {
            for (int row = 0; row < rows; row++)
            {
                float value = outside;
                for (int r = Math.Max(0, row - half); r <= Math.Min(rows - 1, row + half); r++) value = pick(value, light[r * columns + column]);
                result[row * columns + column] = value;
            }
        }
        return result;
    }

    private static (int Left, int Right) SpanOf(bool[] pool, int columns, int rows)
    {
        // Columns that the pool fills in at least half as many rows as its fullest column: wisps at its sides don't count.
        int[] filled = new int[columns];
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++) filled[column] += pool[row * columns + column] ? 1 : 0;
        }
        int full = filled.Max();
        int left = Array.FindIndex(filled, f => 2 * f >= full), right = Array.FindLastIndex(filled, f => 2 * f >= full);
        return full == 0 ? (0, 0) : (left, right + 1);
    }

    private static double Overlap((int Left, int Right) a, (int Left, int Right) b)
    {
        int both = Math.Min(a.Right, b.Right) - Math.Max(a.Left, b.Left), either = Math.Max(a.Right, b.Right) - Math.Min(a.Left, b.Left);
        return either > 0 ? (double)Math.Max(0, both) / either : 0;
    }
}
