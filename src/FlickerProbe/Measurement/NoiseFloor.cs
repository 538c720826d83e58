using MathNet.Numerics.Statistics;

namespace FlickerProbe.Measurement;

/// <summary>The local noise power of a plane spectrum, robust against tones: per alias and per band frequency, whichever is higher.</summary>
/// <remarks>Motion fills low aliases at all band frequencies; scene structure that trembles fills low band frequencies at all aliases;
/// encoder refreshes fill single aliases. For white noise both medians agree. Median to mean of an exponential variable: ln 2.</remarks>
internal sealed class NoiseFloor
{
    private readonly double[] _byAlias, _byBand;

    private NoiseFloor(double[] byAlias, double[] byBand) => (_byAlias, _byBand) = (byAlias, byBand);

    /// <summary>Mean noise power |Z|² expected at a bin, in squared amplitude units of the spectrum.</summary>
    public double At(int aliasBin, int bandBin) => Math.Max(_byAlias[aliasBin], _byBand[bandBin]);

    /// <summary>The same at the bin nearest to a tone.</summary>
    public double At(PlaneTone tone, LightMatrix matrix)
    {
        (int alias, int band) = PlaneSpectrum.BinOf(tone, matrix, _byAlias.Length, _byBand.Length);
        return At(alias, band);
    }

    /// <summary>Mean noise power over the plane: the median bin.</summary>
    public double Typical { get; private init; }

    /// <summary>Noise power that all but 2 % of the bins stay under.</summary>
    public double High { get; private init; }

    /// <summary>The floor along aliases alone and along band frequencies alone; <see cref="At"/> is the higher of both.</summary>
    public (double[] ByAlias, double[] ByBand) Profiles => (_byAlias, _byBand);

    /// <summary>Bins a median is taken of at most: neighbours share most of their noise, so more would cost time and tell little.</summary>
    private const int MostSamples = 512;

    /// <summary>Estimates the floor.</summary>
    public static NoiseFloor Of(PlaneSpectrum spectrum)
    {
        int aliases = spectrum.AliasBins, bands = spectrum.BandBins;
        int aliasStep = Math.Max(1, aliases / MostSamples), bandStep = Math.Max(1, bands / 160);
        double[] byBand = new double[bands], byAlias = new double[aliases];
        Parallel.For(0, bands, l => byBand[l] = OfBand(spectrum, l, aliasStep));
        int kept = (bands + bandStep - 1) / bandStep;
        double[][] sampled = new double[aliases][];
        for (int k = 0; k < aliases; k++) sampled[k] = new double[kept];
        for (int j = 0; j < kept; j++)
        {
            ReadOnlySpan<float> re = spectrum.Real(j * bandStep), im = spectrum.Imaginary(j * bandStep);
            for (int k = 0; k < aliases; k++) sampled[k][j] = re[k] * re[k] + im[k] * im[k];
        }
        Parallel.For(0, aliases, k => byAlias[k] = Middle(sampled[k]) / Math.Log(2));
        Smooth(byAlias, circular: true);
        Smooth(byBand, circular: false);
        int aliasesKept = (aliases + aliasStep - 1) / aliasStep;
        double[] all = new double[kept * aliasesKept];
        for (int i = 0; i < aliasesKept; i++)
        {
            for (int j = 0; j < kept; j++) all[i * kept + j] = Math.Max(byAlias[i * aliasStep], byBand[j * bandStep]);
        }
        return new NoiseFloor(byAlias, byBand) { Typical = Middle(all), High = ArrayStatistics.OrderStatisticInplace(all, (int)(0.98 * (all.Length - 1)) + 1) };
    }

    private static double OfBand(PlaneSpectrum spectrum, int bandBin, int step)
    {
        ReadOnlySpan<float> re = spectrum.Real(bandBin), im = spectrum.Imaginary(bandBin);
        double[] power = new double[(re.Length + step - 1) / step];
        for (int i = 0; i < power.Length; i++) power[i] = re[i * step] * re[i * step] + im[i * step] * im[i * step];
        return Middle(power) / Math.Log(2);
    }

    private static double Middle(double[] values) => ArrayStatistics.OrderStatisticInplace(values, values.Length / 2 + 1);

    private static void Smooth(double[] values, bool circular)
    {
        double[] source = (double[])values.Clone();
        double[] window = new double[5];
        for (int i = 0; i < values.Length; i++)
        {
            for (int j = -2; j <= 2; j++)
            {
                int at = circular ? (i + j + values.Length) % values.Length : Math.Clamp(i + j, 0, values.Length - 1);
                window[j + 2] = source[at];
            }
            // The larger of itself and its neighbourhood: never smooth a noisy line away.
            values[i] = Math.Max(Order.Median(window), Math.Min(values[i], 4 * Order.Median(window)));
        }
    }
}
