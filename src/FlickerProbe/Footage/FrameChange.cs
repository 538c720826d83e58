using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace FlickerProbe.Footage;

/// <summary>How much of a region changes from one frame to the next beside flicker: the tell-tale of what an encoder threw away.</summary>
/// <remarks>
/// Two numbers a frame: the share of pixels whose code is the same as before, and the noise, which is the standard deviation of the
/// frame-to-frame code difference over √2. For the noise the difference loses its own mean over every 16 pixels along the row first, so
/// that flicker, also where it scales with shading, does not count; what is left is averaged with 15 degrees of freedom.
/// </remarks>
public sealed class FrameChange
{
    private const int Block = 16;
    private const int DeepestInVectors = 12; // bits; sixteen squares of their differences fit into 32 bits
    private readonly int _depth;
    private readonly List<float> _unchanged = [];
    private readonly List<float> _variances = [];
    private long _same, _pixels, _blocks;
    private double _squares;

    /// <summary>An empty record for codes of so many bits.</summary>
    public FrameChange(int depth) => _depth = depth;

    /// <summary>Compares one row of pixels with the same row of the frame before.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void AddRow(ReadOnlySpan<byte> now, ReadOnlySpan<byte> before)
    {
        int start = 0;
        for (; start + Block <= now.Length; start += Block)
        {
            Vector128<byte> here = Vector128.Create(now[start..]), there = Vector128.Create(before[start..]);
            AddBlock(
                Vector128.WidenLower(here).AsInt16() - Vector128.WidenLower(there).AsInt16(),
                Vector128.WidenUpper(here).AsInt16() - Vector128.WidenUpper(there).AsInt16());
        }
        for (; start < now.Length; start++)
        {
            if (now[start] == before[start]) _same++;
        }
        _pixels += now.Length;
    }

    /// <inheritdoc cref="AddRow(ReadOnlySpan{byte}, ReadOnlySpan{byte})"/>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void AddRow(ReadOnlySpan<ushort> now, ReadOnlySpan<ushort> before)
    {
        int start = 0;
        for (; start + Block <= now.Length; start += Block)
        {
            if (_depth <= DeepestInVectors)
            {
                AddBlock(
                    Vector128.Create(now[start..]).AsInt16() - Vector128.Create(before[start..]).AsInt16(),
                    Vector128.Create(now[(start + Block / 2)..]).AsInt16() - Vector128.Create(before[(start + Block / 2)..]).AsInt16());
                continue;
            }
            long sum = 0, squares = 0;
            for (int i = start; i < start + Block; i++)
            {
                long difference = now[i] - before[i];
                if (difference == 0) _same++;
                sum += difference;
                squares += difference * difference;
            }
            AddSums(sum, squares);
        }
        for (; start < now.Length; start++)
        {
            if (now[start] == before[start]) _same++;
        }
        _pixels += now.Length;
    }

    /// <summary>Takes the differences of one block, in two halves.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AddBlock(Vector128<short> first, Vector128<short> second)
    {
        (Vector128<int> a, Vector128<int> b) = Vector128.Widen(first);
        (Vector128<int> c, Vector128<int> d) = Vector128.Widen(second);
        // A difference of nothing compares as -1 in every lane.
        _same -= Vector128.Sum(Vector128.Equals(first, Vector128<short>.Zero) + Vector128.Equals(second, Vector128<short>.Zero));
        AddSums(Vector128.Sum(a + b + (c + d)), Vector128.Sum(a * a + b * b + (c * c + d * d)));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AddSums(long sum, long squares)
    {
        _squares += squares - sum * sum / (double)Block;
        _blocks++;
    }

    /// <summary>Ends a frame; the first frame has nothing before it.</summary>
    public void EndFrame()
    {
        _unchanged.Add(_pixels == 0 ? float.NaN : (float)((double)_same / _pixels));
        _variances.Add(_blocks == 0 ? float.NaN : (float)(_squares / (_blocks * (Block - 1.0))));
        _same = _pixels = _blocks = 0;
        _squares = 0;
    }

    /// <summary>Share of unchanged pixels per frame; entry 0 is NaN.</summary>
    public float[] UnchangedByFrame() => [.. _unchanged];

    /// <summary>Mean share of unchanged pixels, duplicates left out; null without a pair of frames.</summary>
    public double? UnchangedShare() => UnchangedShare(0, _unchanged.Count);

    /// <summary>The same over part of the frames; the first of them has nothing before it.</summary>
    public double? UnchangedShare(int firstFrame, int count)
    {
        List<int> pairs = RealPairs(firstFrame, count);
        return pairs.Count == 0 ? null : pairs.Average(frame => (double)_unchanged[frame]);
    }

    /// <summary>Noise in 8-bit-equivalent codes: the median over the frames, so that something passing through does not lend its change to the
    /// recording; null without a pair of frames or with rows narrower than 16 pixels.</summary>
    public double? NoiseCodes() => NoiseCodes(0, _unchanged.Count);

    /// <summary>The same over part of the frames.</summary>
    public double? NoiseCodes(int firstFrame, int count)
    {
        List<float> variances = [.. RealPairs(firstFrame, count).Select(frame => _variances[frame]).Where(float.IsFinite)];
        if (variances.Count == 0) return null;
        variances.Sort();
        return Math.Sqrt(Math.Max(0, variances[variances.Count / 2]) / 2) / (1 << (_depth - 8));
    }

    /// <summary>Pairs that are two frames. A pair without a single change is a frame shown twice where most pairs do change; where even the
    /// median pair hardly changes it is the encoder that flattened them, and they count.</summary>
    private List<int> RealPairs(int firstFrame, int count)
    {
        List<int> pairs = [.. Enumerable.Range(firstFrame, count).Skip(1).Where(frame => float.IsFinite(_unchanged[frame]))];
        List<int> changing = [.. pairs.Where(frame => _unchanged[frame] < 1)];
        if (changing.Count == 0) return pairs;
        float[] shares = [.. changing.Select(frame => _unchanged[frame]).Order()];
        return shares[shares.Length / 2] < 0.9f ? changing : pairs;
    }
}
