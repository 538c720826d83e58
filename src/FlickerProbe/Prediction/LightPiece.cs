using FlickerProbe.Light;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>What one tone's doubt about its amplitude does to its piece.</summary>
/// <param name="MayAdd">What it may add to the tone on camera.</param>
/// <param name="MayTake">What it may take from the tone on camera.</param>
/// <param name="AtHigh">Extremes of the piece with the tone at its upper end.</param>
/// <param name="AtLow">Extremes of the piece with the tone at its lower end.</param>
internal readonly record struct Doubt(double MayAdd, double MayTake, (double Max, double Min) AtHigh, (double Max, double Min) AtLow);

/// <summary>A part of a light that keeps its own time: a fundamental with its overtones, or a tone whose phase nobody knows.</summary>
internal abstract class LightPiece
{
    /// <summary>Largest and smallest deviation from the mean, relative to it, with f · Tₑ off by a share of its spread, −1…1.</summary>
    public abstract (double Max, double Min) Extremes(double offset);

    /// <summary>Doubts about the amplitudes in the light, one per tone.</summary>
    public abstract IEnumerable<Doubt> Doubts { get; }

    /// <summary>The recorded tones, candidates side by side.</summary>
    public abstract IReadOnlyList<CameraTone> Tones { get; }
}

/// <summary>A tone that may meet the others at any phase; with several candidates the worst of them.</summary>
internal sealed class LooseTone : LightPiece
{
    private readonly CameraTone[] _candidates;
    private readonly double _largest;
    private readonly Doubt _doubt;

    /// <param name="candidates">What the tone would be on camera at each of its frequencies.</param>
    /// <param name="isOfUnknownKin">Whether it belongs to no fundamental: it may be the sum or difference of two.</param>
    public LooseTone(CameraTone[] candidates, bool isOfUnknownKin)
    {
        (_candidates, IsOfUnknownKin) = (candidates, isOfUnknownKin);
        _largest = LargestAt(candidates, 0);
        // Which candidate is true is a doubt like the amplitude itself.
        double high = double.NegativeInfinity, low = double.PositiveInfinity;
        foreach (CameraTone tone in candidates)
        {
            double magnitude = tone.Magnitude;
            high = Max(high, magnitude + tone.MayAdd);
            low = Min(low, magnitude - tone.MayTake);
        }
        double add = high - _largest, take = _largest - Max(0, low);
        _doubt = new Doubt(add, take, Around(_largest + add), Around(_largest - take));
    }

    /// <summary>Whether it belongs to no fundamental: a sum or difference of two keeps step with both.</summary>
    public bool IsOfUnknownKin { get; }

    /// <summary>Extremes at the lowest that it may be; those it has where its frequency is known.</summary>
    public (double Max, double Min) AtLowestCandidate => _candidates.Length > 1 ? _doubt.AtLow : Extremes(0);

    public override IReadOnlyList<CameraTone> Tones => _candidates;

    public override (double Max, double Min) Extremes(double offset) => Around(offset == 0 ? _largest : LargestAt(_candidates, offset));

    public override IEnumerable<Doubt> Doubts => [_doubt];

    // A loop, since a search for safe shutters asks for hundreds of thousands.
    private static double LargestAt(CameraTone[] candidates, double offset)
    {
        double largest = 0;
        foreach (CameraTone tone in candidates) largest = Max(largest, Abs(tone.At(offset)));
        return largest;
    }

    private static (double, double) Around(double amplitude) => (amplitude, -amplitude);
}

/// <summary>A fundamental with overtones whose phases belong together: the waveform is rebuilt.</summary>
internal sealed class CoherentGroup : LightPiece
{
    private readonly double[][] _basis;
    private readonly CameraTone[] _tones;
    private readonly double[] _wave;
    private readonly (double Max, double Min) _extremes;

    /// <param name="basis">One period of cos(2π h x + φ) per tone, unit amplitude.</param>
    /// <param name="tones">The recorded tones in the same order.</param>
    public CoherentGroup(double[][] basis, CameraTone[] tones)
    {
        _basis = basis;
        _tones = tones;
        _wave = WaveAt(0);
        _extremes = With(0, 0);
    }

    public override IReadOnlyList<CameraTone> Tones => _tones;

    public override (double Max, double Min) Extremes(double offset)
    {
        if (offset == 0) return _extremes;
        double max = 0, min = 0;
        foreach (double value in WaveAt(offset))
        {
            if (value > max) max = value;
            else if (value < min) min = value;
        }
        return (max, min);
    }

    public override IEnumerable<Doubt> Doubts
    {
        get
        {
            for (int t = 0; t < _tones.Length; t++)
            {
                double sign = _tones[t].At(0) < 0 ? -1 : 1, add = _tones[t].MayAdd, take = _tones[t].MayTake;
                yield return new Doubt(add, take, With(t, sign * add), With(t, -sign * take));
            }
        }
    }

    /// <summary>Unit cosines of a group, sampled over one period of the fundamental.</summary>
    public static double[][] Basis(IReadOnlyList<LightComponent> components)
    {
        int samples = Waveform.SamplesFor(components.Max(c => c.HarmonicNumber!.Value));
        return [.. components.Select(c =>
        {
            double[] wave = Waveform.Sample([new Cosine(c.HarmonicNumber!.Value, 1, c.PhaseRadians!.Value)], samples);
            for (int i = 0; i < wave.Length; i++) wave[i] -= 1;
            return wave;
        })];
    }

    private double[] WaveAt(double offset)
    {
        double[] wave = new double[_basis[0].Length];
        for (int t = 0; t < _tones.Length; t++)
        {
            double amplitude = _tones[t].At(offset);
            double[] unit = _basis[t];
            for (int i = 0; i < wave.Length; i++) wave[i] += amplitude * unit[i];
        }
        return wave;
    }

    private (double Max, double Min) With(int tone, double change)
    {
        double max = 0, min = 0;
        double[] unit = _basis[tone];
        for (int i = 0; i < _wave.Length; i++)
        {
            double value = _wave[i] + change * unit[i];
            if (value > max) max = value;
            else if (value < min) min = value;
        }
        return (max, min);
    }
}
