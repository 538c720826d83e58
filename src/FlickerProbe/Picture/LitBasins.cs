namespace FlickerProbe.Picture;

/// <summary>Parts the lit cells of a picture into pools of light: cells that hang together, parted where a valley lies between two crests.</summary>
/// <remarks>The cells are taken from the brightest down, each joining the pool beside it. Where two pools meet, they are one light when the
/// valley between them still has <see cref="SameLight"/> of the lesser crest; otherwise two. (A merge tree of superlevel sets: Edelsbrunner and
/// Harer, Computational Topology, 2010, chapter VII.)</remarks>
public static class LitBasins
{
    /// <summary>Share of the lesser crest that a valley must fall below to part two lights, linear light: the project's own choice.</summary>
    public const double SameLight = 0.6;

    /// <summary>The pool of each cell, numbered from 0 in no particular order; −1 where the cell is not usable.</summary>
    /// <param name="light">Light of each cell, smoothed so that noise makes no crests.</param>
    /// <param name="usable">Which cells count.</param>
    /// <param name="columns">Cells across.</param>
    /// <param name="rows">Cells down.</param>
    public static int[] Of(float[] light, bool[] usable, int columns, int rows)
    {
        int[] pool = new int[light.Length];
        Array.Fill(pool, -1);
        int[] parent = new int[light.Length];
        float[] crest = new float[light.Length];
        int[] order = [.. Enumerable.Range(0, light.Length).Where(cell => usable[cell]).OrderByDescending(cell => light[cell]).ThenBy(cell => cell)];
        foreach (int cell in order)
        {
            int joined = -1;
            foreach (int beside in Neighbours(cell, columns, rows))
            {
                if (pool[beside] < 0) continue;
                int other = Root(parent, pool[beside]);
                if (joined < 0) joined = other;
                if (other == joined) continue;
                (int high, int low) = crest[joined] >= crest[other] ? (joined, other) : (other, joined);
                // Two lights: the cell goes to the brighter pool and the border stays.
                if (light[cell] >= SameLight * crest[low]) parent[low] = high;
                joined = high;
            }
            if (joined < 0)
            {
                joined = cell;
                parent[cell] = cell;
                crest[cell] = light[cell];
            }
            pool[cell] = joined;
        }
        var number = new Dictionary<int, int>();
        foreach (int cell in order)
        {
            int root = Root(parent, pool[cell]);
            if (!number.TryGetValue(root, out int n)) number[root] = n = number.Count;
            pool[cell] = n;
        }
        return pool;
    }

    private static int Root(int[] parent, int pool)
    {
        while (parent[pool] != pool) pool = parent[pool] = parent[parent[pool]];
        return pool;
    }

    private static IEnumerable<int> Neighbours(int cell, int columns, int rows)
    {
        int column = cell % columns, row = cell / columns;
        if (column > 0) yield return cell - 1;
        if (column < columns - 1) yield return cell + 1;
        if (row > 0) yield return cell - columns;
        if (row < rows - 1) yield return cell + columns;
    }
}
