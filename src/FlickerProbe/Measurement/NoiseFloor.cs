using System.Numerics;

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

    /// <summary>Mean noise power over the plane: the median bin.</summary>
    public double Typical { get; private init; }

    /// <summary>Noise power that all but 2 % of the bins stay under.</summary>
    public double High { get; private init; }

    /// <summary>Estimates the floor.</summary>
    public static NoiseFloor Of(PlaneSpectrum spectrum)
    {
        int aliases = spectrum.AliasBins, bands = spectrum.BandBins;
        double[] byBand = new double[bands];
        double[][] sampled = new double[aliases][];
        int step = Math.Max(1, bands / 160);
        int kept = (bands + step - 1) / step;
        for (int k = 0; k < aliases; k++) sampled[k] = new double[kept];
        double[] power = new double[aliases];
        for (int l = 0; l < bands; l++)
        {
            Complex[] column = spectrum.Column(l);
            for (int k = 0; k < aliases; k++)
            {
                power[k] = column[k].Real * column[k].Real + column[k].Imaginary * column[k].Imaginary;
                if (l % step == 0) sampled[k][l / step] = power[k];
            }
            byBand[l] = Quick(power) / Math.Log(2);
        }
        double[] byAlias = new double[aliases];
        for (int k = 0; k < aliases; k++) byAlias[k] = Quick(sampled[k]) / Math.Log(2);
        Smooth(byAlias, circular: true);
        Smooth(byBand, circular: false);
        double[] all = new double[kept * aliases];
        for (int k = 0; k < aliases; k++)
        {
            for (int j = 0; j < kept; j++) all[k * kept + j] = Math.Max(byAlias[k], byBand[j * step]);
        }
        Array.Sort(all);
        return new NoiseFloor(byAlias, byBand) { Typical = all[all.Length / 2], High = all[(int)(0.98 * (all.Length - 1))] };
    }

    private static double Quick(double[] values)
    {
        double[] copy = (double[])values.Clone();
        Array.Sort(copy);
        return copy[copy.Length / 2];
    }

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
