using System.Numerics;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Finds the area to measure when none was named: the largest evenly lit rectangle that is neither dark nor clipped.</summary>
/// <remarks>A few frames across the clip are looked over on a coarse grid. A cell will do when its mean level lies on the usable part of the signal
/// scale, hardly any of it is clipped in any of the frames, and it is not much darker than the bright part of the picture.</remarks>
public static class BrightArea
{
    private const int Columns = 48, Rows = 36;
    private const int FramesLookedAt = 12;

    /// <summary>Usable part of the signal scale: measurement model, trap 5.</summary>
    private const double DarkestLevel = 0.2, BrightestLevel = 0.9;

    /// <summary>Share of a cell that may lie at the ceiling.</summary>
    private const double ToleratedClipping = 0.002;

    /// <summary>A cell darker than this share of the bright ones belongs to another surface.</summary>
    private const double SameSurface = 0.75;

    /// <summary>The area in displayed pixels.</summary>
    /// <exception cref="ClipException">There is none; the message says whether the picture is too dark or too bright.</exception>
    public static Region Find(ClipInfo info, TransferFunction? transfer, SignalRange? range, CancellationToken cancellation)
    {
        (double[,] level, double[,] clipped) = LookOver(info, transfer, range, cancellation);
        double[] usable = [.. Cells().Where(c => IsUsable(level[c.Row, c.Column], clipped[c.Row, c.Column])).Select(c => level[c.Row, c.Column]).Order()];
        if (usable.Length == 0)
        {
            double brightest = Cells().Max(c => level[c.Row, c.Column]);
            throw new ClipException(brightest < DarkestLevel
                ? FormattableString.Invariant($"'{info.FileName}' is too dark to measure anywhere (at most {brightest:P0} of the signal scale): open the iris or raise the gain until the lit surface lies at 50 to 80 %, then shoot again.")
                : $"'{info.FileName}' has no part that is neither dark nor clipped: expose so that the lit surface lies at 50 to 80 % of the signal scale, or name a part with --region.");
        }
        double line = SameSurface * usable[usable.Length * 9 / 10];
        (int left, int top, int width, int height) = LargestRectangle(
            (row, column) => IsUsable(level[row, column], clipped[row, column]) && level[row, column] >= line);
        // The outermost cells may straddle an edge.
        if (width > 4) (left, width) = (left + 1, width - 2);
        if (height > 4) (top, height) = (top + 1, height - 2);
        int x = left * info.Width / Columns, y = top * info.Height / Rows;
        var coded = new Region(x, y, Math.Max(1, (left + width) * info.Width / Columns - x), Math.Max(1, (top + height) * info.Height / Rows - y));
        // From coded to displayed is the turn back: the transposed matrix.
        Orientation turn = info.Orientation;
        (int displayedWidth, int displayedHeight) = info.DisplayedSize;
        return new Orientation(turn.XFromX, turn.YFromX, turn.XFromY, turn.YFromY).ToCoded(coded, displayedWidth, displayedHeight);
    }

    private static bool IsUsable(double level, double clipped) => level is >= DarkestLevel and <= BrightestLevel && clipped <= ToleratedClipping;

    private static IEnumerable<(int Row, int Column)> Cells() =>
        from row in Enumerable.Range(0, Rows) from column in Enumerable.Range(0, Columns) select (row, column);

    /// <summary>Mean level of each cell, and the largest share of it that was clipped in any frame.</summary>
    private static (double[,] Level, double[,] Clipped) LookOver(ClipInfo info, TransferFunction? transfer, SignalRange? range, CancellationToken cancellation)
    {
        double[,] level = new double[Rows, Columns], clipped = new double[Rows, Columns];
        using FrameStream frames = FrameStream.Open(info, Math.Max(1, info.Packets / FramesLookedAt), transfer, range, null, cancellation);
        int ceiling = frames.Scale.WhiteCode - (1 << (frames.Scale.Depth - 8));
        // Luma; of an RGB clip green, which is most of luminance.
        int channel = info.Pixels.Model == ColourModel.RedGreenBlue ? 1 : 0;
        double[,] sum = new double[Rows, Columns], high = new double[Rows, Columns], count = new double[Rows, Columns];
        while (frames.Next())
        {
            Array.Clear(sum);
            Array.Clear(high);
            Array.Clear(count);
            for (int y = 0; y < frames.Height; y++)
            {
                int row = y * Rows / frames.Height;
                if (frames.IsWide) AddRow(frames.WordRow(y, channel), row);
                else AddRow(frames.ByteRow(y, channel), row);
            }
            foreach ((int row, int column) in Cells())
            {
                if (count[row, column] == 0) continue;
                level[row, column] += frames.Scale.LevelOf(sum[row, column] / count[row, column]);
                clipped[row, column] = Math.Max(clipped[row, column], high[row, column] / count[row, column]);
            }
        }
        foreach ((int row, int column) in Cells()) level[row, column] /= Math.Max(1, frames.FramesRead);
        // In one picture bands stand where in a clip they pass: rows are judged by what lies around them.
        if (frames.FramesRead == 1) level = SmoothAlongRows(level);
        return (level, clipped);

        void AddRow<T>(ReadOnlySpan<T> codes, int row) where T : unmanaged, IBinaryInteger<T>
        {
            for (int x = 0; x < codes.Length; x++)
            {
                int column = x * Columns / codes.Length, code = int.CreateTruncating(codes[x]);
                sum[row, column] += code;
                high[row, column] += code >= ceiling ? 1 : 0;
                count[row, column]++;
            }
        }
    }

    private static double[,] SmoothAlongRows(double[,] level)
    {
        const int Reach = Rows / 6;
        double[,] smooth = new double[Rows, Columns];
        foreach ((int row, int column) in Cells())
        {
            int first = Math.Max(0, row - Reach), last = Math.Min(Rows - 1, row + Reach);
            for (int r = first; r <= last; r++) smooth[row, column] += level[r, column] / (last - first + 1);
        }
        return smooth;
    }

    /// <summary>The rectangle of cells that all will do with the largest area; the first of several.</summary>
    private static (int Left, int Top, int Width, int Height) LargestRectangle(Func<int, int, bool> willDo)
    {
        (int Left, int Top, int Width, int Height) best = default;
        int[] run = new int[Columns]; // usable cells upwards from this row
        for (int row = 0; row < Rows; row++)
        {
            for (int column = 0; column < Columns; column++) run[column] = willDo(row, column) ? run[column] + 1 : 0;
            for (int left = 0; left < Columns; left++)
            {
                int height = run[left];
                for (int right = left; right < Columns && (height = Math.Min(height, run[right])) > 0; right++)
                {
                    int width = right - left + 1;
                    if (width * height > best.Width * best.Height) best = (left, row - height + 1, width, height);
                }
            }
        }
        return best;
    }
}
