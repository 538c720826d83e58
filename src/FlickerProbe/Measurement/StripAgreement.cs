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
    public static bool IsCommon(LightMatrix matrix, ToneFit fit, PlaneTone tone)
    {
        int strips = matrix.Strips;
        if (strips < 2) return true;
        var phasors = new Complex[strips];
        // Only the strip's difference from the whole is projected: in it all that the strips share cancels, so strong tones do not leak.
        Complex[] differences = ProjectDifferences(matrix, fit.MeanFlicker, tone);
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

    /// <summary>Each strip's phasor less that of the whole, by projecting both on the tone.</summary>
    private static Complex[] ProjectDifferences(LightMatrix matrix, double[][] meanFlicker, PlaneTone tone)
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
            norm += centred.Magnitude * centred.Magnitude;
        }
        float[][] re = new float[matrix.Parities][], im = new float[matrix.Parities][];
        for (int p = 0; p < matrix.Parities; p++)
        {
            (re[p], im[p]) = (new float[lines], new float[lines]);
            for (int r = 0; r < lines; r++)
            {
                double scale = 1 + (meanFlicker.Length > p ? meanFlicker[p][r] : 0);
                re[p][r] = (float)(scale * Cos(2 * PI * tone.Nu * (r - lineCentre)));
                im[p][r] = (float)(scale * Sin(2 * PI * tone.Nu * (r - lineCentre)));
            }
        }
        // The whole comes last.
        var products = new Complex[matrix.Strips + 1];
        if (norm > 0)
        {
            Parallel.For(0, products.Length, plane =>
            {
                Complex product = plane < matrix.Strips ? matrix.ProjectStrip(plane, ticks, re, im) : matrix.Project(matrix.Relative, ticks, re, im);
                products[plane] = 2 * product / (norm * lines);
            });
        }
        return [.. products[..^1].Select(p => p - products[^1])];
    }
}
