namespace FlickerProbe.Picture;

/// <summary>The rectangle inside a set of cells that serves measuring best.</summary>
/// <remarks>Bands are counted along rows, so rows are worth more than columns: a rectangle is worth its width × height^1.5; in a still, where
/// rows are all there is to count by, width × height³ (the project's own choice).</remarks>
public static class LargestRectangle
{
    /// <summary>The rectangle worth most whose cells all belong; the first of several, empty when none does.</summary>
    /// <param name="belongs">Row by row.</param>
    /// <param name="columns">Cells across.</param>
    /// <param name="rows">Cells down.</param>
    /// <param name="still">Whether the picture is a single one.</param>
    public static CellRect In(bool[] belongs, int columns, int rows, bool still = false)
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
                    var here = new CellRect(left, row - top.Height + 1, column - left, top.Height);
                    if (Worth(here, still) > Worth(best, still)) best = here;
                }
                if (run[column] > 0) starts.Push((left, run[column]));
            }
        }
        return best;
    }

    private static double Worth(CellRect rect, bool still) => rect.Width * Math.Pow(rect.Height, still ? 3 : 1.5);
}
