using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>How strong bands could be that stand still: structure along lines common to all column strips that the scene's shading does not explain.</summary>
/// <remarks>
/// Light locked to the frame rate leaves the same profile in every frame; dividing by the time mean removes it for good. What is left is
/// the mean profile itself. In each strip its logarithm is modelled as smooth shading (a cubic of the strip's own) and one cosine common to
/// all strips. The cosine's amplitude and its uncertainty, widened for the correlation of the scene's texture along the lines, bound what
/// locked light may do. Measurement model, trap 2.
/// </remarks>
internal static class LockedBands
{
    private const int ShadingOrder = 3;

    /// <summary>The slowest light that is expected to lock, hertz: twice the mains of 50 Hz less its tolerance.</summary>
    private const double SlowestLockedHz = 90;

    /// <summary>Light may bend the profile this many times more than is seen, where the shading happens to bend it back.</summary>
    private const double ByChance = 1.5;

    /// <summary>Where the cubics take more than this of a cosine's power, what is left of it shows no bands but the shading's own bends.</summary>
    private const double LeastDetermined = 0.05;

    /// <summary>The bound and whether the bands are plainly there.</summary>
    /// <param name="Bound">On-camera amplitude not exceeded (95 %).</param>
    /// <param name="Bands">Bands over the coded height at which the bound is reached.</param>
    /// <param name="Seen">On-camera amplitude of standing bands that the strips agree on well above the texture; null when there are none.</param>
    /// <param name="HalfWave">On-camera amplitude not exceeded by light that repeats with the mains itself; 0 where the mains is no multiple of the rate.</param>
    internal readonly record struct Answer(double Bound, double Bands, double? Seen, double HalfWave)
    {
        /// <summary>Whether bands plainly stand still.</summary>
        public bool Evident => Seen is not null;
    }

    /// <summary>Bounds standing bands; null when the region is too small to tell anything.</summary>
    public static Answer? Bound(LightMatrix matrix, FrameRate rate, ReadoutTime? readout, ExposureTime? exposure, double[][] meanFlicker)
    {
        if (matrix.Lines < 24 || readout is { IsGlobal: true }) return null;
        int strips = matrix.StripMeanLight.Length, lines = matrix.Lines;
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
        double profileSpan = Order.Quantile(mean, 0.995) - Order.Quantile(mean, 0.005);
        double regionShare = lines / matrix.LinesPerHeight;
        double lowestBands = readout is null ? 0.3 : Max(0.3, SlowestLockedHz * Abs(readout.Seconds) * regionShare);
        double[][] cubic = Cubic(lines), bent = [.. profiles.Select(p => (double[])p.Clone())];
        foreach (double[] profile in bent) TakeAway(profile, cubic);
        double worst = 0, worstBands = 0;
        double? seen = null;
        double highestBands = Min(lines / 4.0, 120);
        for (double bands = lowestBands, step = 0; bands < highestBands; bands += step)
        {
            step = bands < 8 ? 0.25 : 0.5;
            if (readout is not null && !CanLock(bands / regionShare, rate.Hertz * matrix.Parities * Abs(readout.Seconds), 0.15 / regionShare)) continue;
            (double amplitude, double deviation, double agreement, double determined) = FitCommon(bent, cubic, bands / lines);
            // What lies half a step beside the place tried is seen that much weaker.
            amplitude /= ExposureGain.At(step / 2, 1);
            double tickHz = rate.Hertz * matrix.Parities;
            double? lightHz = readout is null ? null : Round(bands / regionShare / Abs(readout.Seconds) / tickHz) * tickHz;
            // Few bands and smooth shading can't be told apart, but a whole band can't be stronger than the profile bends, chance cancelling aside.
            // Under one band a flat part of the light may stand in the region: then the bend says nothing.
            double bend = bands < 1 ? 1 : ByChance * profileSpan / 2;
            double bound = Min(Min(amplitude + 2 * deviation, bend), MostVisible(lightHz, tickHz, exposure));
            if (bound > worst) (worst, worstBands) = (bound, bands / regionShare);
            // In the logarithm of the light a cosine of amplitude a swings from e^a to e^−a: a depth of tanh a.
            if (determined > LeastDetermined && amplitude > 5 * deviation && amplitude > 0.004 && agreement > 0.9) seen = Max(seen ?? 0, Tanh(amplitude));
        }
        return new Answer(Min(worst, 1), worstBands, seen, HalfWave(profileSpan, rate.Hertz * matrix.Parities, readout, regionShare, exposure));
    }

    /// <summary>How strong light that repeats with the mains itself may be: its one slow bend is all but the scene's own shading to a single clip,
    /// but it can't bend the profile more than the profile is bent, chance cancelling aside.</summary>
    /// <remarks>Of b bands, one or less, a cosine shows at least the share 1 − cos πb of its amplitude: with its crest in the middle of the region.</remarks>
    private static double HalfWave(double profileSpan, double tickHz, ReadoutTime? readout, double regionShare, ExposureTime? exposure) =>
        HalfWaveLight.StandingAt(tickHz).Select(hertz =>
        {
            double bands = hertz * Abs(readout?.Seconds ?? FrequencyCandidates.FastestReadoutSeconds) * regionShare;
            return Min(ByChance * profileSpan / (1 - Cos(PI * Min(1, bands))), MostVisible(hertz, tickHz, exposure));
        }).Append(0).Max();

    /// <summary>The most that any light locked to the rate can show through this exposure: twice its mean at most, times the gain.</summary>
    /// <param name="lightHz">The light's rate in hertz; null: whichever shows most.</param>
    /// <param name="tickHz">Frames or fields per second.</param>
    /// <param name="exposure">The exposure; null when unknown.</param>
    public static double MostVisible(double? lightHz, double tickHz, ExposureTime? exposure)
    {
        if (exposure is null) return 1;
        double Gain(double f) => Abs(ExposureGain.At(f, exposure.Seconds))
            + Units.Estimate.Coverage95 * exposure.RelativeDeviation * Abs(ExposureGain.SlopePerRelativeExposure(f, exposure.Seconds));
        if (lightHz is { } known) return Min(1, 2 * Gain(known));
        double most = 0;
        for (int k = (int)Ceiling(SlowestLockedHz / tickHz); k * tickHz < 20_000; k++) most = Max(most, Gain(k * tickHz));
        return Min(1, 2 * most);
    }

    // Light locked at k times the rate has k · F · T_r bands over the height; the readout's own tolerance grows with k.
    private static bool CanLock(double bands, double bandsPerMultiple, double reach)
    {
        double multiple = Round(bands / bandsPerMultiple);
        return multiple >= 1 && Abs(bands - multiple * bandsPerMultiple) <= reach + 0.01 * bands;
    }

    /// <summary>Amplitude of one cosine common to all strips beside a cubic in each, with deviation, with how well the strips agree (1: all alike)
    /// and with the share of the cosine's power that the cubics leave (1: all of it).</summary>
    /// <param name="bent">Each strip's profile with its cubic taken away.</param>
    /// <param name="cubic">Orthonormal columns that span the cubics.</param>
    /// <param name="cyclesPerLine">Band frequency.</param>
    private static (double Amplitude, double Deviation, double Agreement, double Determined) FitCommon(double[][] bent, double[][] cubic, double cyclesPerLine)
    {
        int lines = bent[0].Length, strips = bent.Length;
        double[] cosine = new double[lines], sine = new double[lines];
        for (int r = 0; r < lines; r++) (sine[r], cosine[r]) = SinCos(2 * PI * cyclesPerLine * r);
        TakeAway(cosine, cubic);
        TakeAway(sine, cubic);
        double cc = Dot(cosine, cosine), ss = Dot(sine, sine), cs = Dot(cosine, sine), determinant = cc * ss - cs * cs;
        double a = 0, b = 0, variance = 0;
        var phasors = new List<(double A, double B)>();
        float[] rest = new float[lines];
        foreach (double[] profile in bent)
        {
            double yc = Dot(profile, cosine), ys = Dot(profile, sine);
            double inCosine = (yc * ss - ys * cs) / determinant, inSine = (ys * cc - yc * cs) / determinant;
            for (int r = 0; r < lines; r++) rest[r] = (float)(profile[r] - inCosine * cosine[r] - inSine * sine[r]);
            // Texture is correlated from line to line: its variance counts as many times over as it lines up at this ν.
            double power = RowKernel.Dot(rest, rest);
            variance += power / Max(1, lines - ShadingOrder - 3) * CorrelationFactor(rest, power) * Max(cc, ss) / determinant;
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
            double scale = 1 / Sqrt(Dot(column, column));
            columns[c] = [.. column.Select(v => v * scale)];
        }
        return columns;
    }

    private static void TakeAway(double[] values, double[][] orthonormal)
    {
        foreach (double[] column in orthonormal)
        {
            double share = Dot(values, column);
            for (int r = 0; r < values.Length; r++) values[r] -= share * column[r];
        }
    }

    private static double Dot(double[] a, double[] b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }

    /// <summary>Variance inflation of a mean by correlation along lines: 1 + 2 Σ ρ_k up to the first sign change.</summary>
    private static double CorrelationFactor(float[] rest, double power)
    {
        if (power <= 0) return 1;
        double factor = 1;
        for (int lag = 1; lag < rest.Length / 4; lag++)
        {
            double sum = RowKernel.Dot(rest.AsSpan(0, rest.Length - lag), rest.AsSpan(lag));
            if (sum <= 0) break;
            factor += 2 * sum / power;
        }
        return factor;
    }
}
