using System.Numerics;
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
internal sealed class ColourSampler : LumaSampler
{
    private const int StepsPerLevel = 4096; // of the table of light: one to a 12-bit code, and what is used of it stays in the nearest cache
    private const int FinerBits = 14, DeepestDepth = 12; // places in the table are summed in this many bits finer, from codes of 12 bits at most
    private const int LowestLevel = -2, Levels = 5; // legal codes reach −1.2 … 2.2

    private const int PixelsEnough = 480;

    // Place in the table of light = (luma · Luma + difference · eighths + Offset) / 2^FinerBits, for red, green and blue.
    private readonly int _perLuma;
    private readonly (int PerCb, int PerCr, int Offset)[] _perDifference;
    private readonly int _drop, _mask;
    private readonly float[] _light = new float[Levels * StepsPerLevel];
    private readonly ushort[] _levelCode = new ushort[Levels * StepsPerLevel];
    private readonly int[] _code, _cb, _cr, _place; // one entry a pixel of the row at hand; differences in eighths of a code
    // Rows of difference that neighbouring rows of the picture share, by their last bits: two fields need six at a time.
    private readonly (int Row, int[] Cb, int[] Cr)[] _differences = new (int, int[], int[])[8];
    private readonly ChannelTraces[] _channels;
    // How the codes of Cb and Cr change from picture to picture: their own noise is what smooths their steps.
    private readonly FrameChange[] _differenceChange;
    private readonly (ushort[] Cb, ushort[] Cr)[] _differenceBefore;
    private readonly ushort[] _differenceNow;
    private readonly int _columnShift, _rowShift, _firstColumn, _columnStep;
    private readonly int[] _edges; // of the strips, counted in sampled pixels
    private readonly bool _interlaced;

    public ColourSampler(RegionPlan plan, bool wide, PixelLayout pixels, LuminanceWeights matrix, bool interlaced) : base(plan, wide)
    {
        _interlaced = interlaced;
        _columnShift = pixels.DifferenceColumnShift;
        _rowShift = pixels.DifferenceRowShift;
        // Codes deeper than the table are cut to its depth.
        _drop = Math.Max(0, plan.Scale.Depth - DeepestDepth);
        _mask = plan.Scale.LargestCode;
        var scale = new SignalScale(plan.Scale.Range, plan.Scale.Depth - _drop);
        double red = 2 * (1 - matrix.Red), blue = 2 * (1 - matrix.Blue), fine = StepsPerLevel * (double)(1 << FinerBits);
        double perDifference = fine / 8 * (DifferenceMatrix.LevelOf(1, scale) - DifferenceMatrix.LevelOf(0, scale));
        _perLuma = (int)Math.Round(fine * (scale.LevelOf(1) - scale.LevelOf(0)));
        double neutral = 8 * -DifferenceMatrix.LevelOf(0, scale) / (DifferenceMatrix.LevelOf(1, scale) - DifferenceMatrix.LevelOf(0, scale));
        (int, int, int) Channel(double ofCb, double ofCr)
        {
            (int perCb, int perCr) = ((int)Math.Round(perDifference * ofCb), (int)Math.Round(perDifference * ofCr));
            double offset = fine * (scale.LevelOf(0) - LowestLevel) - neutral * (perCb + perCr) + (1 << (FinerBits - 1));
            return (perCb, perCr, (int)Math.Round(offset));
        }
        _perDifference = [Channel(0, red), Channel(-blue * matrix.Blue / matrix.Green, -red * matrix.Red / matrix.Green), Channel(blue, 0)];
        var channelScale = new SignalScale(scale.Range, 10);
        for (int n = 0; n < _light.Length; n++)
        {
            double level = (double)n / StepsPerLevel + LowestLevel;
            _light[n] = (float)plan.Transfer.ToLinear(level);
            _levelCode[n] = (ushort)Math.Clamp(Math.Round(channelScale.CodeOf(level)), 0, channelScale.LargestCode);
        }
        // The sums below go unchecked, so check here once that no code can leave the table.
        foreach ((int perCb, int perCr, int offset) in _perDifference)
        {
            long most = (long)_perLuma * scale.LargestCode, lowest = offset, highest = offset + most;
            foreach (int per in (int[])[perCb, perCr])
            {
                lowest += Math.Min(0, 8L * scale.LargestCode * per);
                highest += Math.Max(0, 8L * scale.LargestCode * per);
            }
            if (lowest < 0 || highest > int.MaxValue || highest >> FinerBits >= _light.Length) throw new ArgumentException("The matrix makes levels beyond the table of light.", nameof(matrix));
        }
        // A region of a few pixels is sampled whole.
        _columnStep = plan.Coded.Width < 16 ? 1 : 1 << _columnShift;
        while (plan.Coded.Width >= 2 * _columnStep * PixelsEnough) _columnStep *= 2;
        _firstColumn = (plan.Left + _columnStep - 1) / _columnStep * _columnStep;
        _edges = [.. plan.StripEdges.Select(edge => (plan.Left + edge - _firstColumn + _columnStep - 1) / _columnStep)];
        int count = _edges[^1];
        (_code, _cb, _cr, _place) = (new int[count], new int[count], new int[count], new int[count]);
        for (int n = 0; n < _differences.Length; n++) _differences[n] = (-1, new int[count], new int[count]);
        _differenceChange = [new FrameChange(scale.Depth), new FrameChange(scale.Depth)];
        _differenceBefore = plan.ExpectedFrames == 1 ? [] : [.. Enumerable.Range(0, plan.Coded.Height / plan.StatisticsStep + 1).Select(_ => (new ushort[count], new ushort[count]))];
        _differenceNow = new ushort[count];
        // One code of difference in codes of luma: for green, of which luma itself is most, never less than a code of that.
        double ofDifference = (DifferenceMatrix.LevelOf(1, scale) - DifferenceMatrix.LevelOf(0, scale)) / (scale.LevelOf(1) - scale.LevelOf(0));
        ChannelTraces NewChannel(double steps, params FrameChange[] from) =>
            new(new TraceMatrix(plan.Strips, plan.Coded.Height, plan.ExpectedFrames), new LevelHistogram(channelScale)) { CodesPerStep = Math.Max(1, steps * ofDifference), Differences = from };
        _channels = [NewChannel(red, _differenceChange[1]), NewChannel(1, _differenceChange), NewChannel(blue, _differenceChange[0])];
    }

    public override IReadOnlyList<ChannelTraces> Channels => _channels;

    public override void EndFrame()
    {
        base.EndFrame();
        foreach (FrameChange change in _differenceChange) change.EndFrame();
        for (int n = 0; n < _differences.Length; n++) _differences[n].Row = -1;
    }

    protected override void AddRow(RawFrames frames, int pictureRow, int row)
    {
        base.AddRow(frames, pictureRow, row);
        (int near, int far, int eighths) = DifferenceRows(pictureRow, _rowShift, (frames.Crop.Height + (1 << _rowShift) - 1) >> _rowShift, _interlaced);
        Pick(frames, 0, pictureRow, _code);
        (int[] nearCb, int[] nearCr) = Difference(frames, near);
        (int[] farCb, int[] farCr) = Difference(frames, far);
        Mix(nearCb, farCb, eighths, _cb);
        Mix(nearCr, farCr, eighths, _cr);
        for (int channel = 0; channel < 3; channel++) SumInto(channel, row);
        int slot = row / Plan.StatisticsStep;
        if (!Plan.IsStatisticsRow(row) || slot >= _differenceBefore.Length) return;
        AddChange(_differenceChange[0], Narrow(nearCb), _differenceBefore[slot].Cb);
        AddChange(_differenceChange[1], Narrow(nearCr), _differenceBefore[slot].Cr);
    }

    private ushort[] Narrow(int[] codes)
    {
        for (int k = 0; k < codes.Length; k++) _differenceNow[k] = (ushort)codes[k];
        return _differenceNow;
    }

    /// <summary>The sampled pixels' codes of a row of colour difference, looked up once a picture.</summary>
    private (int[] Cb, int[] Cr) Difference(RawFrames frames, int row)
    {
        ref (int Row, int[] Cb, int[] Cr) kept = ref _differences[row & (_differences.Length - 1)];
        if (kept.Row != row)
        {
            kept.Row = row;
            // One after the other: where the picture is not stored plane by plane, a second look may write over the first.
            Pick(frames, 1, row, kept.Cb);
            Pick(frames, 2, row, kept.Cr);
        }
        return (kept.Cb, kept.Cr);
    }

    /// <summary>Picks the sampled pixels' codes out of a row.</summary>
    private void Pick(RawFrames frames, int channel, int row, int[] into)
    {
        int shift = channel == 0 ? 0 : _columnShift;
        if (frames.IsWide) Pick(frames.WordRow(channel, row), into, shift);
        else Pick(frames.ByteRow(channel, row), into, _firstColumn, _columnStep, shift);
    }

    /// <summary>Picks a code for each column from the first on, every so many; of rows that are 2^shift times as coarse.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    internal static void Pick(ReadOnlySpan<byte> codes, Span<int> into, int firstColumn, int columnStep, int shift)
    {
        ReadOnlySpan<byte> from = codes[(firstColumn >> shift)..];
        // Every second or fourth byte is the lowest of a longer number, and a register holds many of those.
        int k = !BitConverter.IsLittleEndian ? 0 : (columnStep >> shift) switch
        {
            2 => LowBytes(MemoryMarshal.Cast<byte, ushort>(from), into),
            4 => LowBytes(MemoryMarshal.Cast<byte, uint>(from), into),
            _ => 0,
        };
        for (int column = firstColumn + k * columnStep; k < into.Length; k++, column += columnStep) into[k] = codes[column >> shift];
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int LowBytes(ReadOnlySpan<ushort> pairs, Span<int> into)
    {
        ReadOnlySpan<Vector<ushort>> runs = MemoryMarshal.Cast<ushort, Vector<ushort>>(pairs[..Math.Min(pairs.Length, into.Length)]);
        Span<Vector<uint>> low = MemoryMarshal.Cast<int, Vector<uint>>(into);
        for (int i = 0; i < runs.Length; i++) Vector.Widen(runs[i] & new Vector<ushort>(byte.MaxValue), out low[2 * i], out low[2 * i + 1]);
        return runs.Length * Vector<ushort>.Count;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int LowBytes(ReadOnlySpan<uint> fours, Span<int> into)
    {
        ReadOnlySpan<Vector<uint>> runs = MemoryMarshal.Cast<uint, Vector<uint>>(fours[..Math.Min(fours.Length, into.Length)]);
        Span<Vector<uint>> low = MemoryMarshal.Cast<int, Vector<uint>>(into);
        for (int i = 0; i < runs.Length; i++) low[i] = runs[i] & new Vector<uint>(byte.MaxValue);
        return runs.Length * Vector<uint>.Count;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Pick(ReadOnlySpan<ushort> codes, Span<int> into, int shift)
    {
        int column = _firstColumn, step = _columnStep, mask = _mask, drop = _drop;
        for (int k = 0; k < into.Length; k++, column += step) into[k] = (codes[column >> shift] & mask) >> drop;
    }

    /// <summary>The straight line between two rows, in eighths of a code.</summary>
    private static void Mix(int[] near, int[] far, int eighths, int[] into)
    {
        ReadOnlySpan<Vector<int>> nearby = MemoryMarshal.Cast<int, Vector<int>>(near), farther = MemoryMarshal.Cast<int, Vector<int>>(far)[..nearby.Length];
        Span<Vector<int>> mixed = MemoryMarshal.Cast<int, Vector<int>>(into.AsSpan())[..nearby.Length];
        for (int i = 0; i < nearby.Length; i++) mixed[i] = nearby[i] * (8 - eighths) + farther[i] * eighths;
        for (int k = nearby.Length * Vector<int>.Count; k < into.Length; k++) into[k] = near[k] * (8 - eighths) + far[k] * eighths;
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

    private void SumInto(int channel, int row)
    {
        PlaceAll(_perDifference[channel]);
        for (int strip = 0; strip < Plan.Strips; strip++)
        {
            int from = _edges[strip], width = _edges[strip + 1] - from;
            _channels[channel].Traces.Set(strip, Frames, row, Sum(_place.AsSpan(from, width), _light) / width);
        }
        if (!Plan.IsStatisticsRow(row)) return;
        LevelHistogram histogram = _channels[channel].Level;
        foreach (int place in _place) histogram.AddCode(_levelCode[place]);
    }

    private void PlaceAll((int PerCb, int PerCr, int Offset) per)
    {
        ReadOnlySpan<Vector<int>> code = MemoryMarshal.Cast<int, Vector<int>>(_code), cb = MemoryMarshal.Cast<int, Vector<int>>(_cb), cr = MemoryMarshal.Cast<int, Vector<int>>(_cr);
        Span<Vector<int>> place = MemoryMarshal.Cast<int, Vector<int>>(_place.AsSpan());
        var offset = new Vector<int>(per.Offset);
        for (int i = 0; i < place.Length; i++) place[i] = (code[i] * _perLuma + cb[i] * per.PerCb + cr[i] * per.PerCr + offset) >> FinerBits;
        for (int k = place.Length * Vector<int>.Count; k < _place.Length; k++) _place[k] = (_code[k] * _perLuma + _cb[k] * per.PerCb + _cr[k] * per.PerCr + per.Offset) >> FinerBits;
    }

    /// <summary>Sum of light[place]; four sums side by side, since one addition must wait for the one before.</summary>
    /// <remarks>No code leads out of the table of light: the constructor checked.</remarks>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static double Sum(ReadOnlySpan<int> place, ReadOnlySpan<float> light)
    {
        ref int p = ref MemoryMarshal.GetReference(place);
        ref float l = ref MemoryMarshal.GetReference(light);
        double a = 0, b = 0, c = 0, d = 0;
        nint x = 0, length = place.Length;
        for (; x <= length - 4; x += 4)
        {
            a += Unsafe.Add(ref l, Unsafe.Add(ref p, x));
            b += Unsafe.Add(ref l, Unsafe.Add(ref p, x + 1));
            c += Unsafe.Add(ref l, Unsafe.Add(ref p, x + 2));
            d += Unsafe.Add(ref l, Unsafe.Add(ref p, x + 3));
        }
        for (; x < length; x++) a += Unsafe.Add(ref l, Unsafe.Add(ref p, x));
        return a + b + (c + d);
    }
}
