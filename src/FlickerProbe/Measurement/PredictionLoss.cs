using FlickerProbe.Footage;
using static System.Math;
using Complex = System.Numerics.Complex;

namespace FlickerProbe.Measurement;

/// <summary>What frames that an encoder predicts from others have lost of each tone, read from the frames that it codes alone.</summary>
/// <remarks>
/// A starved encoder predicts most frames from their neighbours and leaves the correction out where it is small: bands that beat quickly need one in every
/// frame and fade. Key frames can't do so, hence show nearly the whole light. What the fit leaves of them, set against the fit's own bands there, is the share
/// that the others lost. Faint tones are read badly and lean on what all tones together show. Whatever made one kind of frame differ from the other,
/// the scatter of the other frames says how far it may be chance. The project's own, from rendered clips; no published source.
/// </remarks>
internal sealed class PredictionLoss
{
    /// <summary>More key frames than this share of all, and there is hardly a predicted one to compare with.</summary>
    private const double MostKeys = 0.34;

    /// <summary>Other frames to compare with: more of them tell nothing more.</summary>
    private const int MostOthers = 256, FewestOthers = 8;

    /// <summary>A loss this many times over what is left says no more than that nearly all was lost.</summary>
    private const double MostLost = 4;

    /// <summary>Passes over the tones until none moves another any more.</summary>
    private const int Sweeps = 4;

    private readonly double[] _shares;

    private PredictionLoss(double[] shares, double together) => (_shares, Together) = (shares, together);

    /// <summary>Nothing is known to be lost.</summary>
    public static PredictionLoss None { get; } = new([], 0);

    /// <summary>Whether nothing is known to be lost.</summary>
    public bool IsNone => _shares.Length == 0;

    /// <summary>What was lost of a tone over what is left of it: 0.25 where a fifth was lost; below 0 where the others show more, as distortion does.</summary>
    public double ShareOf(int tone) => tone < _shares.Length ? _shares[tone] : 0;

    /// <summary>By what the amplitude that was fitted is multiplied, and the standard deviation of that: between nothing lost and twice as much.</summary>
    public (double Factor, double Deviation) Restoring(int tone) => (1 + Max(0, ShareOf(tone)), Abs(ShareOf(tone)) / 2);

    /// <summary>What was lost of all tones together, over what is left of them.</summary>
    public double Together { get; }

    /// <summary>Reads it from what a fit leaves.</summary>
    /// <param name="traits">Which frames were coded alone.</param>
    /// <param name="clock">Which ticks they are.</param>
    /// <param name="matrix">The take.</param>
    /// <param name="fit">The joint fit of all tones.</param>
    /// <param name="loss">What the encoder may have done.</param>
    public static PredictionLoss Of(RecordingTraits traits, SensorClock clock, LightMatrix matrix, ToneFit fit, CompressionLoss loss)
    {
        if (!loss.IsLossy || traits.IsKeyFrame.Length == 0 || fit.Tones.Length == 0) return None;
        var keys = new List<int>();
        var others = new List<int>();
        for (int i = 0; i < clock.FrameIndices.Length; i++)
        {
            for (int field = 0; field < matrix.Parities; field++) (traits.IsKeyFrame[clock.FrameIndices[i]] ? keys : others).Add(clock.Ticks[i] * matrix.Parities + field);
        }
        if (keys.Count == 0 || others.Count < FewestOthers || keys.Count > MostKeys * (keys.Count + others.Count)) return None;
        int step = Max(1, others.Count / MostOthers);
        var kept = others.Where((_, i) => i % step == 0).ToList();

        // Of each tone: what the frames show beyond the fit, against the fit.
        var projection = new Projection(matrix, fit);
        (double[] excess, double[,] power) = projection.Of(keys);
        double[] scatter = projection.Scatter(kept);
        int tones = fit.Tones.Length;
        int[] strongestFirst = [.. Enumerable.Range(0, tones).OrderByDescending(k => fit.Tones[k].Amplitude)];
        double together = Likely(excess.Sum(), power.Cast<double>().Sum(), keys.Count * scatter[tones], 0);
        // Wide bands look alike in a single frame: what the others explain of a tone's excess is taken off first.
        double[] shares = new double[tones];
        for (int sweep = 0; sweep < Sweeps; sweep++)
        {
            foreach (int k in strongestFirst)
            {
                double own = excess[k];
                for (int j = 0; j < tones; j++) own -= j == k ? 0 : shares[j] * power[j, k];
                shares[k] = Clamp(Likely(own, power[k, k], keys.Count * scatter[k], together), -1, MostLost);
            }
        }
        return new PredictionLoss(shares, together);
    }

    /// <summary>The excess over the power of the fit, drawn towards what is expected as far as chance could explain that it differs.</summary>
    private static double Likely(double excess, double power, double variance, double expected)
    {
        if (power <= 0) return expected;
        double apart = excess / power - expected, square = apart * apart;
        return square <= 0 ? expected : expected + apart * square / (square + variance / (power * power));
    }

    /// <summary>What the fit leaves, and the fit itself, seen along each of its tones.</summary>
    private sealed class Projection(LightMatrix matrix, ToneFit fit)
    {
        private readonly (float[] Cosine, float[] Sine)[] _lines = [.. fit.Tones.Select(t => RowKernel.Wave(t.Nu, matrix.Lines, (matrix.Lines - 1) / 2.0))];

        /// <summary>Sums over some ticks: of each tone times what the fit leaves, and of each tone times each.</summary>
        public (double[] Excess, double[,] Power) Of(List<int> ticks)
        {
            int tones = fit.Tones.Length;
            double[] excess = new double[tones];
            double[,] power = new double[tones, tones];
            foreach (int n in ticks)
            {
                float[][] bands = Bands(n);
                for (int i = 0; i < tones; i++)
                {
                    excess[i] += RowKernel.Dot(Left(n), bands[i]);
                    for (int j = 0; j < tones; j++) power[i, j] += RowKernel.Dot(bands[i], bands[j]);
                }
            }
            return (excess, power);
        }

        /// <summary>Variance of each tone's excess in one tick beside what is usual, and last of all tones' together.</summary>
        public double[] Scatter(List<int> ticks)
        {
            int tones = fit.Tones.Length;
            double[][] excess = [.. Enumerable.Range(0, tones + 1).Select(_ => new double[ticks.Count])], power = [.. excess.Select(e => new double[e.Length])];
            Parallel.For(0, ticks.Count, t =>
            {
                float[][] bands = Bands(ticks[t]);
                float[] together = [.. Enumerable.Range(0, matrix.Lines).Select(r => bands.Sum(b => b[r]))];
                for (int i = 0; i <= tones; i++)
                {
                    float[] row = i < tones ? bands[i] : together;
                    excess[i][t] = RowKernel.Dot(Left(ticks[t]), row);
                    power[i][t] = RowKernel.Dot(row, row);
                }
            });
            return [.. excess.Zip(power, (e, p) =>
            {
                double usual = p.Sum() > 0 ? e.Sum() / p.Sum() : 0;
                return e.Zip(p, (one, own) => Pow(one - usual * own, 2)).Average();
            })];
        }

        private ReadOnlySpan<float> Left(int n) => fit.Residual.AsSpan(n * matrix.Lines, matrix.Lines);

        /// <summary>Each tone's bands in one tick.</summary>
        private float[][] Bands(int n) => [.. fit.Tones.Select((t, k) =>
        {
            Complex at = t.Z * Complex.FromPolarCoordinates(1, 2 * PI * (t.X * (n - (matrix.Ticks - 1) / 2.0) + t.Nu * matrix.LineOffset(n)));
            float[] row = new float[matrix.Lines];
            RowKernel.AddScaled(row, (float)at.Real, _lines[k].Cosine, (float)-at.Imaginary, _lines[k].Sine);
            return row;
        })];
    }
}
