using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>Samples luma, and linear red, green and blue beside it, of a region of a Y′CbCr clip.</summary>
/// <remarks>
/// One pixel of each row for every sample of colour difference: what lies between has no colour of its own, and a row mean over half
/// the pixels costs half. Of wide regions fewer still, but never fewer than 480 a row: noise in a row's mean grows by up to √2 for each halving, while
/// what encoders do to faint change stays the larger doubt. Where difference has fewer rows, each row takes the straight line between the two nearest (the nearest alone makes
/// stairs, which a strong band turns into a second tone near the finest bands there are). R′ = Y′ + 2(1−Kr)·Cr, B′ = Y′ + 2(1−Kb)·Cb, G′ from Y′ = Kr R′ + Kg G′ + Kb B′:
/// Recommendation ITU-R BT.709-6, items 3.2 to 3.4; levels of the difference codes: items 4.6 and 5 (224 steps at 8 bits), BT.2100-2 table 9 (full range).
/// </remarks>
internal sealed class ColourSampler : RegionSampler
{
    private const int StepsPerLevel = 8192; // of the table of light: two to a 12-bit code
    private const int LowestLevel = -2, Levels = 5; // legal codes reach −1.2 … 2.2

    private const int PixelsEnough = 480;

    private readonly LumaSampler _luma;
    private readonly int[] _lumaPosition;
    private readonly int[] _redOfCr, _greenOfCr, _greenOfCb, _blueOfCb;
    private readonly float[] _light = new float[Levels * StepsPerLevel];
    private readonly ushort[] _levelCode = new ushort[Levels * StepsPerLevel];
    private readonly int[] _position, _addRed, _addGreen, _addBlue; // one entry a pixel of the row at hand
    private readonly (TraceMatrix Traces, LevelHistogram Level)[] _channels;
    private readonly int _columnShift, _rowShift, _firstColumn, _columnStep;
    private readonly int[] _edges; // of the strips, counted in sampled pixels
    private readonly bool _interlaced;
    private (int, int, int) _prepared = (-1, -1, -1);

    public ColourSampler(RegionPlan plan, bool wide, PixelLayout pixels, LuminanceWeights matrix, bool interlaced) : base(plan, wide)
    {
        _interlaced = interlaced;
        _luma = new LumaSampler(plan, wide);
        _columnShift = pixels.DifferenceColumnShift;
        _rowShift = pixels.DifferenceRowShift;
        SignalScale scale = plan.Scale;
        double red = 2 * (1 - matrix.Red), blue = 2 * (1 - matrix.Blue);
        int[] Positions(Func<int, double> level) => [.. Enumerable.Range(0, scale.LargestCode + 1).Select(code => (int)Math.Round(StepsPerLevel * level(code)))];
        int[] Difference(double factor) => Positions(code => factor * DifferenceMatrix.LevelOf(code, scale));
        _lumaPosition = Positions(code => scale.LevelOf(code) - LowestLevel);
        _redOfCr = Difference(red);
        _greenOfCr = Difference(-red * matrix.Red / matrix.Green);
        _greenOfCb = Difference(-blue * matrix.Blue / matrix.Green);
        _blueOfCb = Difference(blue);
        var channelScale = new SignalScale(scale.Range, 10);
        for (int n = 0; n < _light.Length; n++)
        {
            double level = (double)n / StepsPerLevel + LowestLevel;
            _light[n] = (float)plan.Transfer.ToLinear(level);
            _levelCode[n] = (ushort)Math.Clamp(Math.Round(channelScale.CodeOf(level)), 0, channelScale.LargestCode);
        }
        // The sums below go unchecked, so check here once that no code can leave the table.
        int lowest = _lumaPosition[0] + Math.Min(_redOfCr[0], Math.Min(_blueOfCb[0], _greenOfCr[^1] + _greenOfCb[^1]));
        int highest = _lumaPosition[^1] + Math.Max(_redOfCr[^1], Math.Max(_blueOfCb[^1], _greenOfCr[0] + _greenOfCb[0]));
        if (lowest < 0 || highest >= _light.Length) throw new ArgumentException("The matrix makes levels beyond the table of light.", nameof(matrix));
        // A region of a few pixels is sampled whole.
        _columnStep = plan.Coded.Width < 16 ? 1 : 1 << _columnShift;
        while (plan.Coded.Width >= 2 * _columnStep * PixelsEnough) _columnStep *= 2;
        _firstColumn = (plan.Left + _columnStep - 1) / _columnStep * _columnStep;
        _edges = [.. plan.StripEdges.Select(edge => (plan.Left + edge - _firstColumn + _columnStep - 1) / _columnStep)];
        int count = _edges[^1];
        (_position, _addRed, _addGreen, _addBlue) = (new int[count], new int[count], new int[count], new int[count]);
        _channels = [.. Enumerable.Range(0, 3).Select(_ => (new TraceMatrix(plan.Strips, plan.Coded.Height, plan.ExpectedFrames), new LevelHistogram(channelScale)))];
    }

    public override IReadOnlyList<(TraceMatrix Traces, LevelHistogram Level)> Channels => _channels;

    /// <summary>The luma of the same region, sampled in the same pass.</summary>
    public LumaSampler Luma => _luma;

    public override void EndFrame()
    {
        base.EndFrame();
        _luma.EndFrame();
        _prepared = (-1, -1, -1);
    }

    protected override void AddRow(RawFrames frames, int pictureRow, int row)
    {
        _luma.AddRows(frames, pictureRow, 1);
        (int near, int far, int eighths) = DifferenceRows(pictureRow, _rowShift, (frames.Crop.Height + (1 << _rowShift) - 1) >> _rowShift, _interlaced);
        bool newDifference = (near, far, eighths) != _prepared;
        _prepared = (near, far, eighths);
        if (frames.IsWide)
        {
            Place(frames.WordRow(0, pictureRow));
            if (newDifference) PrepareWords(frames, near, far, eighths);
        }
        else
        {
            Place(frames.ByteRow(0, pictureRow));
            if (newDifference) PrepareBytes(frames, near, far, eighths);
        }
        SumInto(0, _addRed, row);
        SumInto(1, _addGreen, row);
        SumInto(2, _addBlue, row);
    }

    private void Place(ReadOnlySpan<byte> luma)
    {
        int[] table = _lumaPosition, position = _position;
        int column = _firstColumn, step = _columnStep;
        for (int k = 0; k < position.Length; k++, column += step) position[k] = table[luma[column]];
    }

    private void Place(ReadOnlySpan<ushort> luma)
    {
        int[] table = _lumaPosition, position = _position;
        int column = _firstColumn, step = _columnStep, mask = table.Length - 1;
        for (int k = 0; k < position.Length; k++, column += step) position[k] = table[luma[column] & mask];
    }

    /// <summary>The two rows of colour difference about a row of luma, and how many eighths the farther one counts.</summary>
    /// <remarks>A difference row lies in the middle of the rows it stands for (4:2:0 of MPEG-2, H.264 and HEVC); of interlaced pictures, of those of its own field.</remarks>
    internal static (int Near, int Far, int Eighths) DifferenceRows(int row, int shift, int count, bool interlaced)
    {
        if (shift == 0) return (row, row, 0);
        int step = interlaced ? 2 : 1, field = interlaced ? row & 1 : 0, line = interlaced ? row >> 1 : row;
        int lines = (count - field + step - 1) / step, span = 1 << shift, near = Math.Min(line >> shift, lines - 1);
        int offset = 2 * (line & (span - 1)) + 1 - span;
        int far = Math.Clamp(near + Math.Sign(offset), 0, lines - 1);
        return (near * step + field, far * step + field, Math.Abs(offset) * 4 / span);
    }

    private void PrepareBytes(RawFrames frames, int near, int far, int eighths)
    {
        // The second look into the same channel may write over the first where the picture is not stored plane by plane.
        Prepare(frames.ByteRow(1, near), frames.ByteRow(2, near), 8 - eighths, first: true);
        if (eighths > 0) Prepare(frames.ByteRow(1, far), frames.ByteRow(2, far), eighths, first: false);
        Finish();
    }

    private void PrepareWords(RawFrames frames, int near, int far, int eighths)
    {
        Prepare(frames.WordRow(1, near), frames.WordRow(2, near), 8 - eighths, first: true);
        if (eighths > 0) Prepare(frames.WordRow(1, far), frames.WordRow(2, far), eighths, first: false);
        Finish();
    }

    private void Prepare(ReadOnlySpan<byte> cb, ReadOnlySpan<byte> cr, int weight, bool first)
    {
        int[] red = _addRed, green = _addGreen, blue = _addBlue, redOfCr = _redOfCr, greenOfCr = _greenOfCr, greenOfCb = _greenOfCb, blueOfCb = _blueOfCb;
        int column = _firstColumn, step = _columnStep, shift = _columnShift, keep = first ? 0 : 1;
        for (int k = 0; k < red.Length; k++, column += step)
        {
            int b = cb[column >> shift], r = cr[column >> shift];
            red[k] = keep * red[k] + weight * redOfCr[r];
            green[k] = keep * green[k] + weight * (greenOfCr[r] + greenOfCb[b]);
            blue[k] = keep * blue[k] + weight * blueOfCb[b];
        }
    }

    private void Prepare(ReadOnlySpan<ushort> cb, ReadOnlySpan<ushort> cr, int weight, bool first)
    {
        int[] red = _addRed, green = _addGreen, blue = _addBlue, redOfCr = _redOfCr, greenOfCr = _greenOfCr, greenOfCb = _greenOfCb, blueOfCb = _blueOfCb;
        int column = _firstColumn, step = _columnStep, shift = _columnShift, mask = redOfCr.Length - 1, keep = first ? 0 : 1;
        for (int k = 0; k < red.Length; k++, column += step)
        {
            int b = cb[column >> shift] & mask, r = cr[column >> shift] & mask;
            red[k] = keep * red[k] + weight * redOfCr[r];
            green[k] = keep * green[k] + weight * (greenOfCr[r] + greenOfCb[b]);
            blue[k] = keep * blue[k] + weight * blueOfCb[b];
        }
    }

    /// <summary>Eighths to whole steps of the table; a mean of two additions stays between them, so inside the table.</summary>
    private void Finish()
    {
        foreach (int[] add in (int[][])[_addRed, _addGreen, _addBlue])
        {
            for (int k = 0; k < add.Length; k++) add[k] = (add[k] + 4) >> 3;
        }
    }

    private void SumInto(int channel, int[] add, int row)
    {
        for (int strip = 0; strip < Plan.Strips; strip++)
        {
            int from = _edges[strip], width = _edges[strip + 1] - from;
            _channels[channel].Traces.Set(strip, Frames, row, Sum(_position.AsSpan(from, width), add.AsSpan(from, width), _light) / width);
        }
        if (!Plan.IsStatisticsRow(row)) return;
        LevelHistogram histogram = _channels[channel].Level;
        for (int x = 0; x < add.Length; x++) histogram.AddCode(_levelCode[_position[x] + add[x]]);
    }

    /// <summary>Sum of light[position + add]; four sums side by side, since one addition must wait for the one before.</summary>
    /// <remarks>Positions and additions come from the tables above, whose sums stay inside the table of light for every code there is.</remarks>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static double Sum(ReadOnlySpan<int> position, ReadOnlySpan<int> add, ReadOnlySpan<float> light)
    {
        ref int p = ref MemoryMarshal.GetReference(position);
        ref int q = ref MemoryMarshal.GetReference(add);
        ref float l = ref MemoryMarshal.GetReference(light);
        double a = 0, b = 0, c = 0, d = 0;
        nint x = 0, length = Math.Min(position.Length, add.Length);
        for (; x <= length - 4; x += 4)
        {
            a += Unsafe.Add(ref l, Unsafe.Add(ref p, x) + Unsafe.Add(ref q, x));
            b += Unsafe.Add(ref l, Unsafe.Add(ref p, x + 1) + Unsafe.Add(ref q, x + 1));
            c += Unsafe.Add(ref l, Unsafe.Add(ref p, x + 2) + Unsafe.Add(ref q, x + 2));
            d += Unsafe.Add(ref l, Unsafe.Add(ref p, x + 3) + Unsafe.Add(ref q, x + 3));
        }
        for (; x < length; x++) a += Unsafe.Add(ref l, Unsafe.Add(ref p, x) + Unsafe.Add(ref q, x));
        return a + b + (c + d);
    }
}
