using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>What stands still along the lines beyond the scene's smooth shading: where bands of light that don't move, or hardly, would be.</summary>
/// <remarks>In each column strip the logarithm of the time mean is modelled as smooth shading (a cubic of the strip's own) and one cosine common to all
/// strips. Its uncertainty is widened for the correlation of the scene's texture along the lines. Measurement model, trap 2.</remarks>
internal sealed class StandingProfile
{
    private const int ShadingOrder = 3;

    /// <summary>Fewer lines tell nothing of bands.</summary>
    private const int FewestLines = 24;

    /// <summary>Where the cubics take more than this of a cosine's power, what is left of it shows no bands but the shading's own bends.</summary>
    public const double LeastDetermined = 0.05;

    /// <summary>Light may bend the profile this many times more than is seen, where the shading happens to bend it back.</summary>
    private const double ByChance = 1.5;

    /// <summary>How far from where a tone is fitted the rest of its bands may stand, bands over the region: it is seen that much weaker.</summary>
    private const double Aside = 0.25;

    /// <summary>A cosine that takes less than this of a strip's power leaves its texture as it was, in bands this fine.</summary>
    private const double LittleOfPower = 0.02, FineBands = 8;

    private readonly double[][] _bent, _cubic;

    // Of each strip before any cosine is taken out: its power, and how many times over that counts.
    private readonly (double Power, double Factor)[] _texture;

    private StandingProfile(double[][] bent, double[][] cubic, double mostBent)
    {
        (_bent, _cubic, MostBent) = (bent, cubic, mostBent);
        _texture = [.. bent.Select(profile => Texture([.. profile.Select(v => (float)v)]))];
    }

    /// <summary>No whole band is stronger than this, half of what lies between the darkest lines and the brightest: shading may cancel light by chance, but only so far.</summary>
    public double MostBent { get; }

    /// <summary>Of a take, without what the bands that were found leave standing; null where the region is too small to tell anything, or all rows see one moment.</summary>
    /// <param name="matrix">The take.</param>
    /// <param name="readout">The camera's readout; null when unknown.</param>
    /// <param name="meanFlicker">What the tones add to each line's mean, relative [parity][line].</param>
    public static StandingProfile? Of(LightMatrix matrix, ReadoutTime? readout, double[][] meanFlicker)
    {
        if (matrix.Lines < FewestLines || readout is { IsGlobal: true }) return null;
        int strips = matrix.Strips, lines = matrix.Lines;
        double[][] profiles = new double[strips][];
        for (int s = 0; s < strips; s++)
        {
            profiles[s] = new double[lines];
            for (int r = 0; r < lines; r++)
            {
                double light = 0, flicker = 0;
                for (int p = 0; p < matrix.Parities; p++)
                {
                    light += matrix.StripMeanLight[s][p][r] / matrix.Parities;
                    flicker += meanFlicker.Length > p ? meanFlicker[p][r] / matrix.Parities : 0;
                }
                // What the tones already found leave standing is not counted twice.
                profiles[s][r] = Log(Max(light, 1e-5)) - Log(1 + flicker);
            }
        }
        double[] mean = [.. Enumerable.Range(0, lines).Select(r => profiles.Average(p => p[r]))];
        double[][] cubic = Cubic(lines), bent = [.. profiles.Select(p => (double[])p.Clone())];
        foreach (double[] profile in bent) TakeAway(profile, cubic);
        return new StandingProfile(bent, cubic, ByChance * (Order.Quantile(mean, 0.995) - Order.Quantile(mean, 0.005)) / 2);
    }

    /// <summary>The largest amplitude (95 %, relative to the mean) that may still stand about a tone's bands beside what they leave themselves; null where
    /// shading would hide it.</summary>
    public double? MostLeftOf(PlaneTone tone, LightMatrix matrix)
    {
        double bands = Abs(ToneSearch.Wrap(tone.Nu)) * matrix.Lines;
        // Under one band a flat part of the light may stand in the region, which looks like shading.
        if (bands < 1) return null;
        (double amplitude, double deviation, _, _) = CommonCosine(bands / matrix.Lines);
        return Min(amplitude / ExposureGain.At(Aside, 1) + 2 * deviation, MostBent);
    }

    /// <summary>Amplitude of one cosine common to all strips beside a cubic in each, with deviation, with how well the strips agree (1: all alike)
    /// and with the share of the cosine's power that the cubics leave (1: all of it).</summary>
    /// <param name="cyclesPerLine">Band frequency.</param>
    public (double Amplitude, double Deviation, double Agreement, double Determined) CommonCosine(double cyclesPerLine)
    {
        int lines = _bent[0].Length, strips = _bent.Length;
        double[] cosine = new double[lines], sine = new double[lines];
        (double turnSine, double turnCosine) = SinCos(2 * PI * cyclesPerLine);
        (sine[0], cosine[0]) = (0, 1);
        for (int r = 1; r < lines; r++)
            (sine[r], cosine[r]) = (sine[r - 1] * turnCosine + cosine[r - 1] * turnSine, cosine[r - 1] * turnCosine - sine[r - 1] * turnSine);
        TakeAway(cosine, _cubic);
        TakeAway(sine, _cubic);
        double cc = RowKernel.Dot(cosine, cosine), ss = RowKernel.Dot(sine, sine), cs = RowKernel.Dot(cosine, sine), determinant = cc * ss - cs * cs;
        double a = 0, b = 0, variance = 0;
        var phasors = new List<(double A, double B)>();
        float[] rest = new float[lines];
        for (int s = 0; s < strips; s++)
        {
            double[] profile = _bent[s];
            double yc = RowKernel.Dot(profile, cosine), ys = RowKernel.Dot(profile, sine);
            double inCosine = (yc * ss - ys * cs) / determinant, inSine = (ys * cc - yc * cs) / determinant;
            (double power, double factor) = _texture[s];
            double taken = inCosine * yc + inSine * ys;
            if (taken > LittleOfPower * power || cyclesPerLine * lines < FineBands)
            {
                for (int r = 0; r < lines; r++) rest[r] = (float)(profile[r] - inCosine * cosine[r] - inSine * sine[r]);
                (power, factor) = Texture(rest);
            }
            else power -= taken;
            // Texture is correlated from line to line: its variance counts as many times over as it lines up.
            variance += power / Max(1, lines - ShadingOrder - 3) * factor * Max(cc, ss) / determinant;
            a += inCosine / strips;
            b += inSine / strips;
            phasors.Add((inCosine, inSine));
        }
        if (strips >= 3)
        {
            // How far the strips scatter tells what texture does, better than a model of it; few strips tell it roughly.
            double scatter = phasors.Sum(p => (p.A - a) * (p.A - a) + (p.B - b) * (p.B - b)) / (2.0 * strips * (strips - 1));
            double modelled = variance / strips;
            variance = strips * Min(modelled, Max(2 * scatter, modelled / strips));
        }
        double sumMagnitude = phasors.Sum(p => double.Hypot(p.A, p.B)) / strips;
        double amplitude = double.Hypot(a, b);
        return (amplitude, Sqrt(variance / strips), sumMagnitude > 0 ? amplitude / sumMagnitude : 0, determinant / (lines * (double)lines / 4));
    }

    /// <summary>Orthonormal columns that span the cubics along the lines (Gram and Schmidt).</summary>
    private static double[][] Cubic(int lines)
    {
        double[][] columns = new double[ShadingOrder + 1][];
        for (int c = 0; c <= ShadingOrder; c++)
        {
            double[] column = [.. Enumerable.Range(0, lines).Select(r => Pow(2.0 * r / (lines - 1) - 1, c))];
            TakeAway(column, columns[..c]);
            double scale = 1 / Sqrt(RowKernel.Dot(column, column));
            columns[c] = [.. column.Select(v => v * scale)];
        }
        return columns;
    }

    private static void TakeAway(double[] values, double[][] orthonormal)
    {
        foreach (double[] column in orthonormal) RowKernel.AddScaled(values, -RowKernel.Dot(values, column), column);
    }

    /// <summary>Power of what a strip's shading and a cosine leave, and the variance inflation of its mean by correlation along lines: 1 + 2 Σ ρ_k up to the
    /// first sign change.</summary>
    private static (double Power, double Factor) Texture(float[] rest)
    {
        double power = RowKernel.Dot(rest, rest), factor = 1;
        if (power <= 0) return (0, 1);
        for (int lag = 1; lag < rest.Length / 4; lag++)
        {
            double sum = RowKernel.Dot(rest.AsSpan(0, rest.Length - lag), rest.AsSpan(lag));
            if (sum <= 0) break;
            factor += 2 * sum / power;
        }
        return (power, factor);
    }
}
