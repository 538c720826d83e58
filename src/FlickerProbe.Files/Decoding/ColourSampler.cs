using System.Runtime.CompilerServices;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>Samples luma, and linear red, green and blue beside it, of a region of a Y′CbCr clip.</summary>
/// <remarks>
/// Each pixel's luma takes the colour difference of the sample it shares (no interpolation: the traces are row means, and half a row of
/// difference in the colour part is far under a band's height). R′ = Y′ + 2(1−Kr)·Cr, B′ = Y′ + 2(1−Kb)·Cb, G′ from Y′ = Kr R′ + Kg G′ + Kb B′:
/// Recommendation ITU-R BT.709-6, items 3.2 to 3.4; levels of the difference codes: items 4.6 and 5 (224 steps at 8 bits), BT.2100-2 table 9 (full range).
/// </remarks>
internal sealed class ColourSampler : RegionSampler
{
    private const int StepsPerLevel = 4096; // of the table of light: finer than a 12-bit code
    private const int LowestLevel = -2, Levels = 5; // legal codes reach −1.2 … 2.2

    private readonly LumaSampler _luma;
    private readonly int[] _lumaPosition;
    private readonly int[] _redOfCr, _greenOfCr, _greenOfCb, _blueOfCb;
    private readonly float[] _light = new float[Levels * StepsPerLevel];
    private readonly int[] _addRed, _addGreen, _addBlue;
    private readonly (TraceMatrix Traces, LevelHistogram Level)[] _channels;
    private readonly int _columnShift, _rowShift, _firstDifferenceColumn;
    private int _preparedDifferenceRow = -1;

    public ColourSampler(RegionPlan plan, bool wide, PixelLayout pixels, LuminanceWeights matrix) : base(plan, wide)
    {
        _luma = new LumaSampler(plan, wide);
        _columnShift = pixels.DifferenceColumnShift;
        _rowShift = pixels.DifferenceRowShift;
        _firstDifferenceColumn = plan.Left >> _columnShift;
        SignalScale scale = plan.Scale;
        int middle = 1 << (scale.Depth - 1);
        double span = scale.Range == SignalRange.Limited ? 224 << (scale.Depth - 8) : scale.LargestCode;
        double red = 2 * (1 - matrix.Red), blue = 2 * (1 - matrix.Blue);
        int[] Positions(double factor, double offset, double zero, double width) =>
            [.. Enumerable.Range(0, scale.LargestCode + 1).Select(code => (int)Math.Round(StepsPerLevel * (offset + factor * (code - zero) / width)))];
        _lumaPosition = Positions(1, -LowestLevel, scale.BlackCode, scale.WhiteCode - scale.BlackCode);
        _redOfCr = Positions(red, 0, middle, span);
        _greenOfCr = Positions(-red * matrix.Red / matrix.Green, 0, middle, span);
        _greenOfCb = Positions(-blue * matrix.Blue / matrix.Green, 0, middle, span);
        _blueOfCb = Positions(blue, 0, middle, span);
        for (int n = 0; n < _light.Length; n++) _light[n] = (float)plan.Transfer.ToLinear((double)n / StepsPerLevel + LowestLevel);
        int columns = ((plan.Left + plan.Coded.Width - 1) >> _columnShift) - _firstDifferenceColumn + 1;
        (_addRed, _addGreen, _addBlue) = (new int[columns], new int[columns], new int[columns]);
        _channels = [.. Enumerable.Range(0, 3).Select(_ => (new TraceMatrix(plan.Strips, plan.Coded.Height, plan.ExpectedFrames), new LevelHistogram(new SignalScale(scale.Range, 10))))];
    }

    public override IReadOnlyList<(TraceMatrix Traces, LevelHistogram Level)> Channels => _channels;

    /// <summary>The luma of the same region, sampled in the same pass.</summary>
    public LumaSampler Luma => _luma;

    public override void EndFrame()
    {
        base.EndFrame();
        _luma.EndFrame();
        _preparedDifferenceRow = -1;
    }

    protected override void AddRow(RawFrames frames, int pictureRow, int row)
    {
        _luma.AddRows(frames, pictureRow, 1);
        int differenceRow = pictureRow >> _rowShift;
        if (frames.IsWide)
        {
            if (differenceRow != _preparedDifferenceRow) Prepare(frames.WordRow(1, differenceRow), frames.WordRow(2, differenceRow));
            ReadOnlySpan<ushort> luma = frames.WordRow(0, pictureRow).Slice(Plan.Left, Plan.Coded.Width);
            Sum(luma, row);
        }
        else
        {
            if (differenceRow != _preparedDifferenceRow) Prepare(frames.ByteRow(1, differenceRow), frames.ByteRow(2, differenceRow));
            ReadOnlySpan<byte> luma = frames.ByteRow(0, pictureRow).Slice(Plan.Left, Plan.Coded.Width);
            Sum(luma, row);
        }
        _preparedDifferenceRow = differenceRow;
    }

    private void Prepare<T>(ReadOnlySpan<T> cb, ReadOnlySpan<T> cr) where T : unmanaged, System.Numerics.IBinaryInteger<T>
    {
        int mask = _redOfCr.Length - 1;
        for (int n = 0; n < _addRed.Length; n++)
        {
            int b = int.CreateTruncating(cb[_firstDifferenceColumn + n]) & mask, r = int.CreateTruncating(cr[_firstDifferenceColumn + n]) & mask;
            _addRed[n] = _redOfCr[r];
            _addGreen[n] = _greenOfCr[r] + _greenOfCb[b];
            _addBlue[n] = _blueOfCb[b];
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Sum<T>(ReadOnlySpan<T> luma, int row) where T : unmanaged, System.Numerics.IBinaryInteger<T>
    {
        int[] position = _lumaPosition;
        float[] light = _light;
        int mask = position.Length - 1;
        int offset = Plan.Left - (_firstDifferenceColumn << _columnShift);
        bool statistics = Plan.IsStatisticsRow(row);
        for (int strip = 0; strip < Plan.Strips; strip++)
        {
            int from = Plan.StripEdges[strip], to = Plan.StripEdges[strip + 1];
            double red = 0, green = 0, blue = 0;
            for (int x = from; x < to; x++)
            {
                int y = position[int.CreateTruncating(luma[x]) & mask];
                int n = (x + offset) >> _columnShift;
                red += light[y + _addRed[n]];
                green += light[y + _addGreen[n]];
                blue += light[y + _addBlue[n]];
            }
            _channels[0].Traces.Set(strip, Frames, row, red / (to - from));
            _channels[1].Traces.Set(strip, Frames, row, green / (to - from));
            _channels[2].Traces.Set(strip, Frames, row, blue / (to - from));
        }
        if (!statistics) return;
        for (int x = 0; x < luma.Length; x++)
        {
            int y = position[int.CreateTruncating(luma[x]) & mask];
            int n = (x + offset) >> _columnShift;
            _channels[0].Level.AddLevel((double)(y + _addRed[n]) / StepsPerLevel + LowestLevel, false);
            _channels[1].Level.AddLevel((double)(y + _addGreen[n]) / StepsPerLevel + LowestLevel, false);
            _channels[2].Level.AddLevel((double)(y + _addBlue[n]) / StepsPerLevel + LowestLevel, false);
        }
    }
}
