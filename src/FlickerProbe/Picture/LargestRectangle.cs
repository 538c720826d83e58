namespace FlickerProbe.Picture;

/// <summary>The largest rectangle inside a set of cells.</summary>
public static class LargestRectangle
{
    /// <summary>The rectangle with the largest area whose cells all belong; the first of several, empty when none does.</summary>
    /// <param name="belongs">Row by row.</param>
    /// <param name="columns">Cells across.</param>
    /// <param name="rows">Cells down.</param>
    public static CellRect In(bool[] belongs, int columns, int rows)
    {
        CellRect best = default;
        int[] run = new int[columns + 1]; // cells upwards from this row; a zero after the last column ends every run
        var starts = new Stack<(int Left, int Height)>();
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++) run[column] = belongs[row * columns + column] ? run[column] + 1 : 0;
            starts.Clear();
            for (int column = 0; column <= columns; column++)
            {
                int left = column;
                while (starts.TryPeek(out (int Left, int Height) top) && top.Height >= run[column])
                {
                    starts.Pop();
                    left = top.Left;
                    if (top.Height * (column - left) > best.Area) best = new CellRect(left, row - top.Height + 1, column - left, top.Height);
                }
                if (run[column] > 0) starts.Push((left, run[column]));
            }
        }
        return best;
    }
}
