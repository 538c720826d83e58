using System.Numerics;

namespace FlickerProbe.Room;

/// <summary>Short-term flicker severity: of mains voltage (Pst) or of light (PstLM) that goes on unchanged.</summary>
/// <remarks>
/// Chain of IEC 61000-4-15: weighting, squaring, first-order low-pass of 0.3 s, scale, classifier. For light the weighting is that of the eye and
/// brain alone (IEC TR 61547-1) and the scale is set so that a light sine of 8.8 Hz and amplitude 0.2971 % gives a largest sensation of 1.
/// Another scale, 5.7 % lower in PstLM, is in circulation: the light figure is good to ± 6 %.
/// </remarks>
public static class ShortTermFlicker
{
    /// <summary>Scale for light: amplitude 0.2971 % at 8.8 Hz gives a largest instantaneous sensation of 1.</summary>
    public const double LightScale = 1.238354e6;

    /// <summary>Scale for voltage, on the squared voltage relative to its mean: 0.25 % at 8.8 Hz gives 1 (230 V, 50 Hz).</summary>
    public const double VoltageScale = 309_472;

    /// <summary>How well the light figure is known, as a share.</summary>
    public const double LightTolerance = 0.06;

    private const double TimeConstantSeconds = 0.3;

    /// <summary>PstLM of a light whose tones go on unchanged.</summary>
    /// <param name="tones">Frequency in hertz, amplitude relative to the mean, phase of the cosine in radians.</param>
    /// <param name="seconds">Time over which the classifier looks; best a whole number of periods.</param>
    public static double OfLight(IEnumerable<(double FrequencyHz, double Amplitude, double PhaseRadians)> tones, double seconds = 60) =>
        Severity(Sensation([.. tones.Select(t => (t.FrequencyHz, Complex.FromPolarCoordinates(t.Amplitude, t.PhaseRadians) * FlickerWeighting.Light(t.FrequencyHz)))], LightScale, seconds));

    /// <summary>Instantaneous sensation over time of weighted tones in their steady state.</summary>
    /// <param name="weighted">Frequency and weighted complex amplitude of each tone.</param>
    /// <param name="scale">Scale of block 4.</param>
    /// <param name="seconds">Time to cover, seconds.</param>
    /// <param name="samplesPerSecond">Time resolution.</param>
    public static double[] Sensation(IReadOnlyList<(double FrequencyHz, Complex Weighted)> weighted, double scale, double seconds, double samplesPerSecond = 1000)
    {
        int warmUp = (int)(15 * TimeConstantSeconds * samplesPerSecond), count = (int)Math.Round(seconds * samplesPerSecond);
        double[] sensation = new double[Math.Max(1, count)];
        Complex[] state = [.. weighted.Select(t => t.Weighted)];
        Complex[] turn = [.. weighted.Select(t => Complex.FromPolarCoordinates(1, 2 * Math.PI * t.FrequencyHz / samplesPerSecond))];
        // Bilinear first-order low-pass.
        double k = 1 / (2 * TimeConstantSeconds * samplesPerSecond), a = k / (1 + k), b = (1 - k) / (1 + k);
        double before = 0, smoothed = 0;
        for (int i = -warmUp; i < sensation.Length; i++)
        {
            double signal = 0;
            for (int t = 0; t < state.Length; t++)
            {
                signal += state[t].Real;
                state[t] *= turn[t];
            }
            double square = signal * signal * scale;
            if (i == -warmUp) (before, smoothed) = (square, MeanSquare(weighted) * scale);
            smoothed = b * smoothed + a * (square + before);
            before = square;
            if (i >= 0) sensation[i] = smoothed;
        }
        return sensation;
    }

    /// <summary>Block 5: √(0.0314 P0.1 + 0.0525 P1s + 0.0657 P3s + 0.28 P10s + 0.08 P50s), P k the level exceeded k % of the time, s smoothed over neighbours.</summary>
    public static double Severity(double[] sensation)
    {
        double[] sorted = [.. sensation.OrderDescending()];
        double P(double percent)
        {
            double place = percent / 100 * sorted.Length - 0.5;
            int index = (int)Math.Clamp(Math.Floor(place), 0, sorted.Length - 1), after = Math.Min(index + 1, sorted.Length - 1);
            return sorted[index] + Math.Clamp(place - index, 0, 1) * (sorted[after] - sorted[index]);
        }
        double p1 = (P(0.7) + P(1) + P(1.5)) / 3, p3 = (P(2.2) + P(3) + P(4)) / 3;
        double p10 = (P(6) + P(8) + P(10) + P(13) + P(17)) / 5, p50 = (P(30) + P(50) + P(80)) / 3;
        return Math.Sqrt(0.0314 * P(0.1) + 0.0525 * p1 + 0.0657 * p3 + 0.28 * p10 + 0.08 * p50);
    }

    private static double MeanSquare(IEnumerable<(double FrequencyHz, Complex Weighted)> weighted) =>
        weighted.Sum(t => t.Weighted.Magnitude * t.Weighted.Magnitude / 2);
}
