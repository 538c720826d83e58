using FlickerProbe.Light;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>A part of a light that keeps its own time: a fundamental with its overtones, or a tone whose phase nobody knows.</summary>
internal abstract class LightPiece
{
    /// <summary>Largest and smallest deviation from the mean with the best values, relative to the mean.</summary>
    public abstract (double Max, double Min) Extremes { get; }

    /// <summary>For each doubt, the extremes at either end of it.</summary>
    public abstract IEnumerable<((double Max, double Min) AtLow, (double Max, double Min) AtHigh)> Doubts { get; }

    /// <summary>The recorded tones, candidates side by side.</summary>
    public abstract IReadOnlyList<CameraTone> Tones { get; }
}

/// <summary>A tone that may meet the others at any phase; with several candidates the worst of them.</summary>
internal sealed class LooseTone(IReadOnlyList<CameraTone> candidates) : LightPiece
{
    public override IReadOnlyList<CameraTone> Tones => candidates;

    public override (double Max, double Min) Extremes => Around(candidates.Max(c => c.Magnitude));

    public override IEnumerable<((double Max, double Min) AtLow, (double Max, double Min) AtHigh)> Doubts =>
        [(Around(candidates.Min(c => c.Absolute.Low)), Around(candidates.Max(c => c.Absolute.High)))];

    private static (double, double) Around(double amplitude) => (amplitude, -amplitude);
}

/// <summary>A fundamental with overtones whose phases belong together: the waveform is rebuilt.</summary>
internal sealed class CoherentGroup : LightPiece
{
    private readonly double[][] _basis;
    private readonly CameraTone[] _tones;
    private readonly double[] _wave;

    /// <param name="basis">One period of cos(2π h x + φ) per tone, unit amplitude.</param>
    /// <param name="tones">The recorded tones in the same order.</param>
    public CoherentGroup(double[][] basis, CameraTone[] tones)
    {
        _basis = basis;
        _tones = tones;
        _wave = new double[basis[0].Length];
        for (int t = 0; t < tones.Length; t++)
        {
            double amplitude = tones[t].Signed.Value;
            double[] unit = basis[t];
            for (int i = 0; i < _wave.Length; i++) _wave[i] += amplitude * unit[i];
        }
        Extremes = With(0, 0);
    }

    public override IReadOnlyList<CameraTone> Tones => _tones;

    public override (double Max, double Min) Extremes { get; }

    public override IEnumerable<((double Max, double Min) AtLow, (double Max, double Min) AtHigh)> Doubts
    {
        get
        {
            for (int t = 0; t < _tones.Length; t++)
                yield return (With(t, _tones[t].Signed.Low - _tones[t].Signed.Value), With(t, _tones[t].Signed.High - _tones[t].Signed.Value));
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
