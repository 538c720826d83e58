using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation.Scoring;

/// <summary>Spread of the frequency over many clips of one tone in white noise, against the least that any unbiased estimator can have.</summary>
/// <param name="SignalToNoiseDecibels">Signal to noise of each frame's row mean, A²/2σ².</param>
/// <param name="Trials">Clips.</param>
/// <param name="Found">Clips in which the tone was found.</param>
/// <param name="RmsHz">Root mean square error of the frequency, hertz.</param>
/// <param name="BoundHz">Square root of the bound, hertz.</param>
public sealed record FrequencySpread(double SignalToNoiseDecibels, int Trials, int Found, double RmsHz, double BoundHz)
{
    /// <summary>How many times the bound the spread is.</summary>
    public double Ratio => RmsHz / BoundHz;

    private const int Frames = 100, Rows = 48, Strips = 4;
    private const double Amplitude = 0.02;

    /// <summary>Simulates one strength of noise.</summary>
    /// <remarks>
    /// Bound for one real tone in N samples of white noise: var ω ≥ 12/(η N (N² − 1)), η = A²/2σ² (Rife &amp; Boorstyn, IEEE Trans. Inform.
    /// Theory 20(5), 1974, in the form for a real tone). With R rows the information about the frequency along frames adds up: η becomes R η.
    /// </remarks>
    public static FrequencySpread Simulate(double decibels, int trials, int seed)
    {
        Dice dice = Dice.For(seed, FormattableString.Invariant($"spread {decibels}"));
        FrameRate rate = FrameRate.FromRational(25, 1);
        const double ReadoutSeconds = 0.016;
        double eta = Math.Pow(10, decibels / 10), sigma = Amplitude / Math.Sqrt(2 * eta);
        double sum = 0;
        int found = 0;
        for (int trial = 0; trial < trials; trial++)
        {
            // Away from the edges of the alias range, where a beat is slow and the rows' means matter.
            double alias = dice.Between(3, 9) * (dice.Chance(0.5) ? -1 : 1), hertz = 25 * dice.Whole(5, 40) + alias, phase = dice.Between(0, 2 * Math.PI);
            float[][] strips = [.. Enumerable.Range(0, Strips).Select(_ => new float[Frames * Rows])];
            for (int n = 0; n < Frames; n++)
            {
                for (int r = 0; r < Rows; r++)
                {
                    double tone = Amplitude * Math.Cos(2 * Math.PI * hertz * (n / 25.0 + r * ReadoutSeconds / Rows) + phase);
                    for (int s = 0; s < Strips; s++) strips[s][n * Rows + r] = (float)(0.5 * (1 + tone + dice.Normal(sigma * Math.Sqrt(Strips))));
                }
            }
            SampledTake take = new(
                new RowTraces(strips, Frames, Rows, 0, Rows), new FrameTimes([.. Enumerable.Range(0, Frames).Select(n => n / 25.0)], 1e-6), rate, false,
                ExposureTime.FromSeconds(0.0005), ReadoutTime.FromSeconds(ReadoutSeconds), FieldOrder.Progressive, new SignalLevel(0.6, 0.75, 0, 0),
                new RecordingTraits(0.05, 2, 8, 0.017, "rawvideo", true));
            TakeMeasurement measured = TakeEstimator.Measure(take, new EstimatorOptions(WithExhibit: false), CancellationToken.None);
            if (measured.Tones.Count == 0) continue;
            found++;
            double error = CaseTruth.Alias((measured.Tones[0].FrequencyHz?.Value ?? measured.Tones[0].AliasHz.Value) - hertz, 25);
            sum += error * error;
        }
        double bound = Math.Sqrt(12 / (eta * Rows * Frames * ((double)Frames * Frames - 1))) * 25 / (2 * Math.PI);
        return new FrequencySpread(decibels, trials, found, Math.Sqrt(sum / Math.Max(1, found)), bound);
    }
}
