using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Whether all column strips show a tone with one phase: light does, a person walking through does not.</summary>
/// <remarks>A row is exposed in all columns at once, so flicker has the same phase in every strip; its depth may differ where other light mixes in.</remarks>
internal static class StripAgreement
{
    /// <summary>How far a strip may lie off the others in a slow beat, as a share of it: other light may dilute it differently.</summary>
    private const double SlowStripSpread = 0.3;

    /// <summary>False only when the strips plainly contradict each other.</summary>
    public static bool IsCommon(LightMatrix matrix, ToneFit fit, PlaneTone tone) => AreCommon(matrix, fit, [tone])[0];

    /// <summary>The same for several tones: the strips' light is gone through once for all of them.</summary>
    public static bool[] AreCommon(LightMatrix matrix, ToneFit fit, IReadOnlyList<PlaneTone> tones)
    {
        if (matrix.Strips < 2 || tones.Count == 0) return [.. tones.Select(_ => true)];
        // Only the strip's difference from the whole is projected: in it all that the strips share cancels, so strong tones do not leak.
        Complex[][] differences = ProjectDifferences(matrix, fit.MeanFlicker, tones);
        return [.. tones.Select((tone, i) => IsCommon(matrix, tone, differences[i]))];
    }

    private static bool IsCommon(LightMatrix matrix, PlaneTone tone, Complex[] differences)
    {
        int strips = matrix.Strips;
        var phasors = new Complex[strips];
        for (int s = 0; s < strips; s++) phasors[s] = tone.Z + differences[s];
        Complex reference = tone.Z;
        if (reference == Complex.Zero) return true;

        // Each strip has its share of the pixels: noise is √strips times that of the whole.
        double noise = Max(tone.AmplitudeDeviation * Sqrt(strips), 1e-9);
        int judged = 0, contrary = 0;
        double largest = phasors.Max(p => p.Magnitude), sumOfMagnitudes = 0;
        Complex sum = Complex.Zero;
        foreach (Complex p in phasors)
        {
            sum += p;
            sumOfMagnitudes += p.Magnitude;
            double along = (p * Complex.Conjugate(reference)).Real / reference.Magnitude;
            if (along < 0.15 * tone.Amplitude - 3 * noise) contrary++;
            judged++;
        }
        if (contrary > 0) return false;
        // What hardly moves is where people and shadows are at home: there the strips must tell the same, not merely not contradict.
        if (ToneModel.IsSlow(tone, matrix) && phasors.Any(p => (p - sum / strips).Magnitude > SlowStripSpread * tone.Amplitude + 4 * noise)) return false;
        bool clear = tone.Amplitude > 6 * noise;
        // Phase spread beyond what noise makes: a travelling shadow.
        double coherence = sum.Magnitude / Max(sumOfMagnitudes, 1e-12);
        return !(clear && (coherence < 0.9 || largest > 3.5 * tone.Amplitude && judged >= 4));
    }

    /// <summary>[tone][strip]: each strip's phasor less that of the whole, by projecting both on the tone.</summary>
    private static Complex[][] ProjectDifferences(LightMatrix matrix, double[][] meanFlicker, IReadOnlyList<PlaneTone> tones)
    {
        int lines = matrix.Lines, strips = matrix.Strips, blocks = (matrix.Ticks + LightMatrix.BlockTicks - 1) / LightMatrix.BlockTicks;
        var waves = new Wave[tones.Count];
        Parallel.For(0, waves.Length, i => waves[i] = Wave.Of(matrix, meanFlicker, tones[i]));
        var parts = new Complex[blocks][];
        Parallel.For(0, blocks, () => new float[lines], (block, _, row) =>
        {
            Complex[] part = parts[block] = new Complex[waves.Length * strips];
            for (int n = block * LightMatrix.BlockTicks; n < Min((block + 1) * LightMatrix.BlockTicks, matrix.Ticks); n++)
            {
                if (!matrix.Present[n]) continue;
                int parity = matrix.ParityOf(n);
                for (int s = 0; s < strips; s++)
                {
                    matrix.StripRelative(s, n, row);
                    RowKernel.Subtract(row, matrix.Relative.AsSpan(n * lines, lines));
                    for (int i = 0; i < waves.Length; i++) part[i * strips + s] += RowKernel.Project(row, waves[i].Ticks[n], waves[i].Cosines[parity], waves[i].Sines[parity]);
                }
            }
            return row;
        }, _ => { });
        // Added in a fixed order, so that the same clip gives the same bytes whatever the threads did.
        var differences = new Complex[waves.Length][];
        for (int i = 0; i < waves.Length; i++)
        {
            differences[i] = new Complex[strips];
            for (int s = 0; s < strips && waves[i].Norm > 0; s++)
            {
                foreach (Complex[] part in parts) differences[i][s] += part[i * strips + s];
                differences[i][s] *= 2 / (waves[i].Norm * lines);
            }
        }
        return differences;
    }

    /// <summary>One tone to project on.</summary>
    /// <param name="Ticks">exp(iθ) of each tick.</param>
    /// <param name="Cosines">Cosine of each line's phase [parity][line], with the line's own mean in.</param>
    /// <param name="Sines">Sine likewise.</param>
    /// <param name="Norm">Sum of squares over the ticks.</param>
    private sealed record Wave(Complex[] Ticks, float[][] Cosines, float[][] Sines, double Norm)
    {
        public static Wave Of(LightMatrix matrix, double[][] meanFlicker, PlaneTone tone)
        {
            int lines = matrix.Lines;
            double tickCentre = (matrix.Ticks - 1) / 2.0, lineCentre = (lines - 1) / 2.0;
            var mean = new Complex[matrix.Parities];
            int[] count = new int[matrix.Parities];
            var ticks = new Complex[matrix.Ticks];
            for (int n = 0; n < matrix.Ticks; n++)
            {
                if (!matrix.Present[n]) continue;
                int p = matrix.ParityOf(n);
                ticks[n] = Complex.FromPolarCoordinates(1, 2 * PI * (tone.X * (n - tickCentre) + tone.Nu * matrix.LineOffset(n)));
                mean[p] += ticks[n];
                count[p]++;
            }
            for (int p = 0; p < mean.Length; p++) mean[p] /= Max(1, count[p]);
            double norm = 0;
            for (int n = 0; n < matrix.Ticks; n++)
            {
                if (!matrix.Present[n]) continue;
                Complex centred = ticks[n] - mean[matrix.ParityOf(n)];
                norm += centred.Real * centred.Real + centred.Imaginary * centred.Imaginary;
            }
            float[][] cosines = new float[matrix.Parities][], sines = new float[matrix.Parities][];
            for (int p = 0; p < matrix.Parities; p++)
            {
                (cosines[p], sines[p]) = (new float[lines], new float[lines]);
                for (int r = 0; r < lines; r++)
                {
                    double scale = 1 + (meanFlicker.Length > p ? meanFlicker[p][r] : 0);
                    (double sine, double cosine) = SinCos(2 * PI * tone.Nu * (r - lineCentre));
                    (cosines[p][r], sines[p][r]) = ((float)(scale * cosine), (float)(scale * sine));
                }
            }
            return new Wave(ticks, cosines, sines, norm);
        }
    }
}
