using FlickerProbe.Measurement;

namespace FlickerProbe.Picture;

/// <summary>Tells what moves from what flickers.</summary>
/// <remarks>
/// A flickering light changes all cells of a sensor row together, each in proportion to its share of that light, however the share varies along
/// the row. So for each row the change of one light, then of a second one if it is spread along the row, is taken out; what then still
/// changes a cell by much is something that moves through it: it is in one place at a time.
/// </remarks>
public static class MovingCells
{
    /// <summary>Change relative to the cell's mean light that nothing but movement explains: the project's own choice, well over noise.</summary>
    public const double MovedBy = 0.15;

    /// <summary>A second light must be spread over this share of the row's cells: something narrower may be someone.</summary>
    private const double Spread = 0.3;

    /// <summary>For each cell the share of the frames in which something moved through it, 0…1; 0 outside the area.</summary>
    /// <param name="cells">The picture.</param>
    /// <param name="area">The cells of one pool of light.</param>
    public static float[] ShareOfFrames(PictureCells cells, bool[] area)
    {
        float[] share = new float[cells.Count];
        if (cells.Frames < 4) return share;
        for (int row = 0; row < cells.Rows; row++)
        {
            int[] inRow = [.. Enumerable.Range(row * cells.Columns, cells.Columns).Where(cell => area[cell])];
            if (inRow.Length >= 3) AddRow(cells, inRow, share);
        }
        return share;
    }

    private static void AddRow(PictureCells cells, int[] inRow, float[] share)
    {
        int frames = cells.Frames, count = inRow.Length;
        double[,] change = new double[frames, count];
        for (int k = 0; k < count; k++)
        {
            // Against the median frame, which someone who passes does not touch.
            double usual = Math.Max(1e-4, Order.Median([.. cells.Light.Select(frame => (double)frame[inRow[k]])]));
            double mean = Math.Max(usual, cells.Light.Average(frame => frame[inRow[k]]));
            for (int n = 0; n < frames; n++) change[n, k] = (cells.Light[n][inRow[k]] - usual) / mean;
        }
        double[] common = new double[frames];
        double[] row = new double[count];
        for (int n = 0; n < frames; n++)
        {
            for (int k = 0; k < count; k++) row[k] = change[n, k];
            common[n] = Order.Median(row);
        }
        TakeOut(change, common, robust: true);
        double[] second = Leading(change, out double spread);
        if (spread >= Spread) TakeOut(change, second, robust: false);
        for (int k = 0; k < count; k++)
        {
            int moved = 0;
            for (int n = 0; n < frames; n++) moved += Math.Abs(change[n, k]) > MovedBy ? 1 : 0;
            share[inRow[k]] = (float)moved / frames;
        }
    }

    /// <summary>Takes a change out of every cell in the proportion it has there.</summary>
    private static void TakeOut(double[,] change, double[] shape, bool robust)
    {
        int frames = change.GetLength(0), count = change.GetLength(1);
        double energy = shape.Sum(v => v * v);
        if (energy < 1e-12) return;
        double[] ratio = new double[frames];
        for (int k = 0; k < count; k++)
        {
            double factor;
            if (robust)
            {
                // The weighted median of the ratios: frames in which something covers the cell don't bend it.
                for (int n = 0; n < frames; n++) ratio[n] = shape[n] == 0 ? 0 : change[n, k] / shape[n];
                factor = WeightedMedian(ratio, shape);
            }
            else
            {
                factor = 0;
                for (int n = 0; n < frames; n++) factor += change[n, k] * shape[n] / energy;
            }
            for (int n = 0; n < frames; n++) change[n, k] -= factor * shape[n];
        }
    }

    /// <summary>The change over time that explains most of what is left, by power iteration, and the share of the cells that take part in it.</summary>
    private static double[] Leading(double[,] change, out double spread)
    {
        int frames = change.GetLength(0), count = change.GetLength(1);
        double[] weight = new double[count], shape = new double[frames];
        for (int k = 0; k < count; k++)
        {
            for (int n = 0; n < frames; n++) weight[k] += change[n, k] * change[n, k];
        }
        spread = 0;
        for (int turn = 0; turn < 8; turn++)
        {
            double length = Math.Sqrt(weight.Sum(w => w * w));
            if (length < 1e-12) return shape;
            for (int n = 0; n < frames; n++)
            {
                shape[n] = 0;
                for (int k = 0; k < count; k++) shape[n] += change[n, k] * weight[k] / length;
            }
            for (int k = 0; k < count; k++)
            {
                weight[k] = 0;
                for (int n = 0; n < frames; n++) weight[k] += change[n, k] * shape[n];
            }
        }
        double squares = weight.Sum(w => w * w);
        spread = squares * squares / weight.Sum(w => w * w * w * w) / count;
        return shape;
    }

    private static double WeightedMedian(double[] values, double[] weights)
    {
        int[] order = [.. Enumerable.Range(0, values.Length).OrderBy(n => values[n])];
        double half = weights.Sum(Math.Abs) / 2, sum = 0;
        foreach (int n in order)
        {
            sum += Math.Abs(weights[n]);
            if (sum >= half) return values[n];
        }
        return values[order[^1]];
    }
}
