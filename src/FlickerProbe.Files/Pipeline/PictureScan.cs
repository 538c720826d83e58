using System.Numerics;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Light;
using FlickerProbe.Picture;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Looks a clip over on a coarse grid: a few frames here and there, so that a long clip is not decoded twice.</summary>
internal static class PictureScan
{
    private const int MostColumns = 160, SmallestCell = 4; // pixels
    private const int Places = 6, FramesAtPlace = 5;
    private const int Beginning = 150; // frames

    /// <summary>The picture on a coarse grid.</summary>
    /// <exception cref="ClipException">Nothing could be decoded.</exception>
    public static PictureCells Read(ClipInfo info, TransferFunction? transfer, SignalRange? range, CancellationToken cancellation)
    {
        var grid = new CellSums(info, transfer ?? info.Transfer, range ?? info.Range, CellPixels(info));
        double[] starts = Starts(info);
        if (starts.Length == 0)
        {
            // It can't be entered at many places: its beginning has to do.
            int step = Math.Max(1, Math.Min(info.Packets, Beginning) / (Places * FramesAtPlace));
            Add(info, grid, step, new ClipPart(0, Places * FramesAtPlace), transfer, range, cancellation);
        }
        for (int place = 0; place < starts.Length; place++)
        {
            try
            {
                Add(info, grid, 1, new ClipPart(starts[place], FramesAtPlace), transfer, range, cancellation);
            }
            catch (ClipException) when (place > 0)
            {
                // Nothing can be had from there on: a damaged or oddly built file; what came before will do.
            }
        }
        return grid.ToCells();
    }

    /// <summary>Where decoding can start, spread over the clip; empty when it can't at so many places.</summary>
    private static double[] Starts(ClipInfo info)
    {
        double[] keys = info.KeySeconds;
        if (keys.Length < Places || info.Packets < 2 * Places * FramesAtPlace) return [];
        double margin = (info.Rate?.PeriodSeconds ?? 0) / 2; // on the far side of rounding
        return [.. Enumerable.Range(0, Places).Select(place => keys[place * keys.Length / Places] + (place == 0 ? 0 : margin))];
    }

    private static int CellPixels(ClipInfo info) => Math.Max(SmallestCell, (Math.Max(info.Width, info.Height) + MostColumns - 1) / MostColumns);

    private static void Add(ClipInfo info, CellSums grid, int step, ClipPart? part, TransferFunction? transfer, SignalRange? range, CancellationToken cancellation)
    {
        using FrameStream frames = FrameStream.Open(info, step, transfer, range, null, part, withColour: info.Pixels.Model == ColourModel.LumaAndDifference, cancellation);
        while (frames.Next()) grid.AddFrame(frames);
    }
}

/// <summary>Sums of the codes of each cell, frame by frame.</summary>
internal sealed class CellSums
{
    private readonly ClipInfo _info;
    private readonly TransferFunction _transfer;
    private readonly SignalScale _scale;
    private readonly int _columns, _rows, _channels;
    private readonly double[][] _sum, _count; // by channel and cell, of the present frame
    private readonly double[] _high, _rough, _roughCount;
    private const int FramesForRoughness = 3;
    private readonly double[] _level;
    private readonly float[] _clipped;
    private readonly List<float[]> _light = [];

    public CellSums(ClipInfo info, TransferFunction transfer, SignalRange range, int cellPixels)
    {
        _info = info;
        _transfer = transfer;
        _scale = new SignalScale(range, info.Pixels.Depth);
        _columns = Math.Max(1, info.Width / cellPixels);
        _rows = Math.Max(1, info.Height / cellPixels);
        _channels = info.Pixels.Model == ColourModel.Grey ? 1 : 3;
        int cells = _columns * _rows;
        _sum = [.. Enumerable.Range(0, 3).Select(_ => new double[cells])];
        _count = [.. Enumerable.Range(0, 3).Select(_ => new double[cells])];
        (_rough, _roughCount) = (new double[cells], new double[cells]);
        (_high, _level, _clipped) = (new double[cells], new double[cells], new float[cells]);
    }

    public void AddFrame(FrameStream frames)
    {
        foreach (double[] sum in _sum) Array.Clear(sum);
        foreach (double[] count in _count) Array.Clear(count);
        Array.Clear(_high);
        int ceiling = (int)Math.Floor(_scale.WhiteCode - 1.001 * _scale.LevelPerEightBitStep / _scale.LevelPerCode);
        bool difference = _info.Pixels.Model == ColourModel.LumaAndDifference;
        for (int channel = 0; channel < _channels; channel++)
        {
            int shift = difference && channel > 0 ? _info.Pixels.DifferenceRowShift : 0;
            int pictureRows = (frames.Height + (1 << shift) - 1) >> shift;
            bool canClip = !(difference && channel > 0);
            for (int y = 0; y < pictureRows; y++)
            {
                int row = Math.Min(_rows - 1, y * _rows / pictureRows);
                if (frames.IsWide) AddRow(frames.WordRow(y, channel), row, channel, canClip ? ceiling : int.MaxValue);
                else AddRow(frames.ByteRow(y, channel), row, channel, canClip ? ceiling : int.MaxValue);
            }
        }
        float[] light = new float[_level.Length];
        for (int cell = 0; cell < light.Length; cell++)
        {
            (double red, double green, double blue) = Primaries(cell, difference);
            double level = Math.Max(red, Math.Max(green, blue));
            light[cell] = (float)Math.Max(0, _transfer.ToLinear(level));
            _level[cell] += level;
            _clipped[cell] = Math.Max(_clipped[cell], (float)(_high[cell] / _count[0][cell]));
        }
        _light.Add(light);
    }

    /// <summary>The finished picture.</summary>
    public PictureCells ToCells()
    {
        double frames = Math.Max(1, _light.Count);
        return new PictureCells(
            _columns, _rows, _info.Width, _info.Height, [.. _light], [.. _level.Select(sum => (float)(sum / frames))], _clipped,
            [.. _rough.Select((sum, cell) => (float)(_roughCount[cell] > 0 ? sum / _roughCount[cell] * _scale.LevelPerCode : 0))]);
    }

    private void AddRow<T>(ReadOnlySpan<T> codes, int row, int channel, int ceiling) where T : unmanaged, IBinaryInteger<T>
    {
        double[] sum = _sum[channel], count = _count[channel];
        // Luma, or green of an RGB clip; what is written on a surface does not change from frame to frame.
        bool rough = channel == (_info.Pixels.Model == ColourModel.RedGreenBlue ? 1 : 0) && _light.Count < FramesForRoughness;
        int start = row * _columns;
        for (int column = 0; column < _columns; column++)
        {
            int from = (int)((long)column * codes.Length / _columns), to = (int)((long)(column + 1) * codes.Length / _columns);
            long total = 0;
            int high = 0;
            foreach (T code in codes[from..to])
            {
                int value = int.CreateTruncating(code);
                total += value;
                high += value >= ceiling ? 1 : 0;
            }
            sum[start + column] += total;
            count[start + column] += to - from;
            _high[start + column] += high;
            if (!rough) continue;
            long differences = 0;
            for (int x = from + 1; x < to; x++) differences += Math.Abs(int.CreateTruncating(codes[x]) - int.CreateTruncating(codes[x - 1]));
            _rough[start + column] += differences;
            _roughCount[start + column] += Math.Max(0, to - from - 1);
        }
    }

    /// <summary>Mean signal levels of the primaries in a cell: the matrix is linear, so the mean of it is it of the mean.</summary>
    private (double Red, double Green, double Blue) Primaries(int cell, bool difference)
    {
        double first = _scale.LevelOf(Mean(0, cell));
        if (_channels == 1) return (first, first, first);
        if (!difference) return (first, _scale.LevelOf(Mean(1, cell)), _scale.LevelOf(Mean(2, cell)));
        return DifferenceMatrix.Primaries(first, DifferenceMatrix.LevelOf(Mean(1, cell), _scale), DifferenceMatrix.LevelOf(Mean(2, cell), _scale), _info.Matrix);
    }

    private double Mean(int channel, int cell) => _count[channel][cell] > 0 ? _sum[channel][cell] / _count[channel][cell] : _scale.BlackCode;
}
