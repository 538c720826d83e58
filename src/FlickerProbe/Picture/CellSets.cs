namespace FlickerProbe.Picture;

/// <summary>Sets of cells made rounder (Serra, Image Analysis and Mathematical Morphology, 1982: erosion, dilation, opening, closing by 3 × 3 cells).</summary>
internal static class CellSets
{
    /// <summary>Without specks: what has no room for 3 × 3 cells is dropped.</summary>
    public static bool[] Opened(bool[] set, int columns, int rows) => Grown(Shrunk(set, columns, rows), columns, rows);

    /// <summary>With small holes and notches filled.</summary>
    public static bool[] Closed(bool[] set, int columns, int rows) => Shrunk(Grown(set, columns, rows), columns, rows);

    /// <summary>With every neighbour added.</summary>
    public static bool[] Grown(bool[] set, int columns, int rows) => Swept(set, columns, rows, any: true);

    /// <summary>Without the cells that have a neighbour outside; beyond the picture's edge nothing is outside.</summary>
    public static bool[] Shrunk(bool[] set, int columns, int rows) => Swept(set, columns, rows, any: false);

    private static bool[] Swept(bool[] set, int columns, int rows, bool any)
    {
        bool[] swept = new bool[set.Length];
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                bool value = !any;
                for (int r = Math.Max(0, row - 1); r <= Math.Min(rows - 1, row + 1); r++)
                {
                    for (int c = Math.Max(0, column - 1); c <= Math.Min(columns - 1, column + 1); c++)
                        value = any ? value | set[r * columns + c] : value & set[r * columns + c];
                }
                swept[row * columns + column] = value;
            }
        }
        return swept;
    }
}
