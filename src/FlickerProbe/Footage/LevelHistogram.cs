using System.Runtime.CompilerServices;
using FlickerProbe.Light;

namespace FlickerProbe.Footage;

/// <summary>Counts how often each code was seen in a region, and reads from that how the region lies on the signal scale.</summary>
/// <remarks>Thresholds are the project's own choice; that a region should stay clear of both ends of the scale is common practice, no source.</remarks>
public sealed class LevelHistogram
{
    /// <summary>Levels below this share of the scale count as dark.</summary>
    public const double DarkBelow = 0.05;

    /// <summary>A pile-up is only looked for above this level: lower down a ceiling is no property of a camera.</summary>
    public const double PileUpAbove = 0.85;

    private readonly SignalScale _scale;
    private readonly long[] _counts;
    private long _also;

    /// <summary>An empty histogram of all codes of a scale.</summary>
    public LevelHistogram(SignalScale scale)
    {
        _scale = scale;
        _counts = new long[scale.LargestCode + 1];
    }

    /// <summary>Pixels counted.</summary>
    public long Total => _counts.Sum();

    /// <summary>Counts a run of 8-bit codes.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ReadOnlySpan<byte> codes)
    {
        long[] counts = _counts;
        foreach (byte code in codes) counts[code]++;
    }

    /// <summary>Counts a run of codes of more than 8 bits.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ReadOnlySpan<ushort> codes)
    {
        long[] counts = _counts;
        int mask = counts.Length - 1;
        foreach (ushort code in codes) counts[code & mask]++;
    }

    /// <summary>Adds what another histogram of the same scale has counted.</summary>
    public void Add(LevelHistogram other)
    {
        for (int code = 0; code < _counts.Length; code++) _counts[code] += other._counts[code];
        _also += other._also;
    }

    /// <summary>Counts one pixel by its code.</summary>
    public void AddCode(int code) => _counts[code]++;

    /// <summary>Counts one pixel by its level; one whose brightest channel reaches the ceiling is told as <paramref name="clipped"/>.</summary>
    public void AddLevel(double level, bool clipped)
    {
        _counts[(int)Math.Clamp(Math.Round(_scale.CodeOf(level)), 0, _scale.LargestCode)]++;
        if (clipped && level < CeilingLevel) _also++;
    }

    /// <summary>Nominal white less one 8-bit step: from here on a pixel counts as clipped.</summary>
    public double CeilingLevel => 1 - 1.001 * _scale.LevelPerEightBitStep;

    /// <summary>Mean code; null when nothing was counted.</summary>
    public double? MeanCode
    {
        get
        {
            double sum = 0;
            for (int code = 0; code < _counts.Length; code++) sum += (double)code * _counts[code];
            long total = Total;
            return total == 0 ? null : sum / total;
        }
    }

    /// <summary>Mean, peak, clipped and dark shares.</summary>
    /// <exception cref="InvalidOperationException">Nothing was counted.</exception>
    public SignalLevel ToLevel()
    {
        long total = Total;
        if (total == 0) throw new InvalidOperationException("No pixel was counted.");
        long dark = 0, atCeiling = _also, above = 0;
        double peak = double.NaN;
        for (int code = _counts.Length - 1; code >= 0; code--)
        {
            double level = _scale.LevelOf(code);
            above += _counts[code];
            if (double.IsNaN(peak) && above > total / 1000) peak = level;
            if (level >= CeilingLevel) atCeiling += _counts[code];
            if (level < DarkBelow) dark += _counts[code];
        }
        double clipped = Math.Max(atCeiling, PiledUp(total)) / (double)total;
        return new SignalLevel(_scale.LevelOf(MeanCode!.Value), peak, clipped, dark / (double)total);
    }

    /// <summary>Pixels in a pile-up below nominal white: a camera whose curve ends at, say, code 235 of full range.</summary>
    /// <remarks>
    /// Clipped light gathers in the topmost codes while the codes just below stay thin. Noise, shading and a sine's dwell at its crest all
    /// have a slope there instead: for a sine the top 3 steps hold at most 3.2 times what 3 steps just below hold. Five times is
    /// called a pile-up, when something does lie just below to compare with; an evenly lit card has nothing there and is not accused.
    /// </remarks>
    private long PiledUp(long total)
    {
        long[] steps = EightBitSteps();
        int top = steps.Length - 1;
        for (long tail = 0; top >= 0; top--)
        {
            tail += steps[top];
            if (tail > total / 5000) break; // stray pixels above do not make a ceiling
        }
        const int crest = 3, flank = 12;
        if (top < crest + flank || top * _scale.LevelPerEightBitStep + LowestStepLevel < PileUpAbove) return 0;
        long inCrest = 0, inFlank = 0;
        for (int step = top - crest + 1; step < steps.Length; step++) inCrest += steps[step];
        for (int step = top - crest - flank + 1; step <= top - crest; step++) inFlank += steps[step];
        bool comparable = inFlank > total / 1000;
        return comparable && inCrest > total / 200 && inCrest > 5.0 * inFlank * crest / flank ? inCrest : 0;
    }

    private double LowestStepLevel => _scale.LevelOf(0);

    private long[] EightBitSteps()
    {
        long[] steps = new long[256];
        for (int code = 0; code < _counts.Length; code++) steps[code >> (_scale.Depth - 8)] += _counts[code];
        return steps;
    }
}
