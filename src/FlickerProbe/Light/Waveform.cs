namespace FlickerProbe.Light;

/// <summary>One cosine of a waveform relative to its mean: a · cos(2π h x + φ), x in periods of the fundamental.</summary>
/// <param name="HarmonicNumber">h, 1 for the fundamental.</param>
/// <param name="Amplitude">a relative to the mean; may be negative (recorded upside down).</param>
/// <param name="PhaseRadians">φ in radians.</param>
public readonly record struct Cosine(int HarmonicNumber, double Amplitude, double PhaseRadians);

/// <summary>A light waveform over one period, relative to its mean (1 = mean), and the figures of the trade that come out of it.</summary>
/// <remarks>
/// Modulation depth (percent flicker) and flicker index: Illuminating Engineering Society, definitions 5.9.9.2 and 5.9.9.4
/// (ies.org/definitions); flicker index over a whole number of periods: IEV 845-22-094.
/// </remarks>
public static class Waveform
{
    /// <summary>Samples of 1 + Σ a cos(2π h x + φ) over one period, evenly spaced from x = 0.</summary>
    /// <param name="cosines">The cosines of one group.</param>
    /// <param name="samples">How many samples; 0 chooses enough for the highest overtone.</param>
    public static double[] Sample(IReadOnlyList<Cosine> cosines, int samples = 0)
    {
        if (samples == 0) samples = SamplesFor(cosines.Count == 0 ? 1 : cosines.Max(c => c.HarmonicNumber));
        double[] wave = new double[samples];
        Array.Fill(wave, 1);
        foreach (Cosine cosine in cosines)
        {
            for (int i = 0; i < samples; i++)
            {
                // The whole periods are taken off first: the argument stays small however high the overtone.
                double turns = (double)((long)cosine.HarmonicNumber * i % samples) / samples;
                wave[i] += cosine.Amplitude * Math.Cos(2 * Math.PI * turns + cosine.PhaseRadians);
            }
        }
        return wave;
    }

    /// <summary>Samples that catch the top of an overtone to 0.12 %: 64 a cycle of the highest one, at least 256, at most 8192.</summary>
    public static int SamplesFor(int highestHarmonic) =>
        (int)Math.Clamp(System.Numerics.BitOperations.RoundUpToPowerOf2((uint)Math.Max(1, highestHarmonic) * 64), 256, 8192);

    /// <summary>Modulation depth (max − min) / (max + min), 0…1. A waveform that dips below zero (an overtone was missed) counts as 1.</summary>
    public static double ModulationDepth(double max, double min)
    {
        if (max <= min) return 0;
        // Light can't be negative: where a cut-off series says so, the light was dark.
        return min <= 0 ? 1 : Math.Clamp((max - min) / (max + min), 0, 1);
    }

    /// <summary>Modulation depth of a sampled waveform, 0…1.</summary>
    public static double ModulationDepth(ReadOnlySpan<double> wave)
    {
        double max = double.NegativeInfinity, min = double.PositiveInfinity;
        foreach (double value in wave)
        {
            max = Math.Max(max, value);
            min = Math.Min(min, value);
        }
        return wave.Length == 0 ? 0 : ModulationDepth(max, min);
    }

    /// <summary>Flicker index: area above the mean over the whole area, 0…1, of samples over a whole number of periods.</summary>
    public static double FlickerIndex(ReadOnlySpan<double> wave)
    {
        double sum = 0;
        foreach (double value in wave) sum += value;
        if (wave.Length == 0 || sum <= 0) return 0;
        double mean = sum / wave.Length, above = 0;
        foreach (double value in wave) above += Math.Max(0, value - mean);
        return Math.Clamp(above / sum, 0, 1);
    }

    /// <summary>Largest modulation depth of several waveforms without a common period: sooner or later all tops meet, and all bottoms.</summary>
    /// <param name="extremes">Largest and smallest deviation from the mean of each group, relative to the mean; max ≥ 0 ≥ min.</param>
    public static double WorstDepth(IEnumerable<(double Max, double Min)> extremes)
    {
        double max = 1, min = 1;
        foreach ((double above, double below) in extremes)
        {
            max += above;
            min += below;
        }
        return ModulationDepth(max, min);
    }
}
