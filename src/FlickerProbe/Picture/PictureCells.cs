using FlickerProbe.Footage;

namespace FlickerProbe.Picture;

/// <summary>The picture on a coarse grid, for some frames spread over the clip: what finding regions needs to know of it.</summary>
/// <remarks>Rows are rows of the coded picture, that is of the sensor: all cells of a row see a flickering light at the same moment.
/// Cells are numbered row by row. Coloured light counts by its brightest channel, since luma hides blue.</remarks>
/// <param name="Columns">Cells across.</param>
/// <param name="Rows">Cells down.</param>
/// <param name="Width">Columns of the coded picture, pixels.</param>
/// <param name="Height">Rows of the coded picture, pixels.</param>
/// <param name="Light">Linear light, 1 at nominal white: [frame][cell].</param>
/// <param name="Level">Mean over the frames of the signal level, 0 black … 1 nominal white, by cell.</param>
/// <param name="Clipped">Largest share of the cell's pixels at the ceiling in any frame, 0…1.</param>
/// <param name="Roughness">Mean difference between pixels side by side, share of the signal scale: noise, and whatever is drawn on a surface.</param>
public sealed record PictureCells(
    int Columns, int Rows, int Width, int Height, float[][] Light, float[] Level, float[] Clipped, float[] Roughness)
{
    /// <summary>Frames looked at.</summary>
    public int Frames => Light.Length;

    /// <summary>Whether there is a single one.</summary>
    public bool IsStill => Frames == 1;

    /// <summary>Number of cells.</summary>
    public int Count => Columns * Rows;

    /// <summary>First pixel column of a column of cells; also the end of the one before.</summary>
    public int PixelX(int column) => (int)((long)column * Width / Columns);

    /// <summary>First pixel row of a row of cells; also the end of the one before.</summary>
    public int PixelY(int row) => (int)((long)row * Height / Rows);

    /// <summary>Light of each cell when it is brightest: the second largest over the frames, so that one odd frame decides nothing.</summary>
    /// <remarks>Rolling bands reach every cell at some time, and someone darker who passes does not lower it.</remarks>
    public float[] Crest()
    {
        float[] crest = new float[Count];
        for (int cell = 0; cell < crest.Length; cell++)
        {
            float first = 0, second = 0;
            foreach (float[] frame in Light)
            {
                float light = frame[cell];
                if (light > first) (first, second) = (light, first);
                else if (light > second) second = light;
            }
            crest[cell] = Frames < 4 ? first : second;
        }
        return crest;
    }
}

/// <summary>A rectangle of cells.</summary>
/// <param name="Left">First column.</param>
/// <param name="Top">First row.</param>
/// <param name="Width">Columns.</param>
/// <param name="Height">Rows.</param>
public readonly record struct CellRect(int Left, int Top, int Width, int Height)
{
    /// <summary>Cells in it.</summary>
    public int Area => Width * Height;

    /// <summary>The same rectangle in pixels as displayed.</summary>
    public Region ToDisplayed(PictureCells cells, Orientation orientation)
    {
        int x = cells.PixelX(Left), y = cells.PixelY(Top);
        return orientation.ToDisplayed(new Region(x, y, cells.PixelX(Left + Width) - x, cells.PixelY(Top + Height) - y), cells.Width, cells.Height);
    }

    /// <summary>Whether a cell lies in it.</summary>
    public bool Contains(int column, int row) => column >= Left && column < Left + Width && row >= Top && row < Top + Height;
}
