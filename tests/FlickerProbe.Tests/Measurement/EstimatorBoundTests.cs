using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>
/// The deviations the fit states against the Cramér–Rao bounds of one real tone, with unknown mean, in N samples of white noise σ² (Rife and Boorstyn,
/// IEEE Trans. Inform. Theory 20(5), 1974, in the form for a real tone): var ω ≥ 24σ²/(A²N(N²−1)), var A ≥ 2σ²/N. With R lines each says its part: N → N R.
/// How the estimator spreads in simulation is in the validation's own test.
/// </summary>
public class EstimatorBoundTests
{
    [Theory] // var ω by numeric Fisher information, recomputed independently; the formula is 0.97 to 1.00 of it.
    [InlineData(100, 0.2, 1, 0.01, 2.40568e-7)]
    [InlineData(250, 0.16, 1, 0.01, 1.53684e-8)]
    [InlineData(1000, 0.1, 1, 1, 2.40018e-8)]
    [InlineData(64, 0.1234, 1, 0.1, 8.9093e-6)]
    public void The_formula_is_the_numeric_Fisher_information(int samples, double cyclesPerSample, double amplitude, double variance, double exact)
    {
        double formula = 24 * variance / (amplitude * amplitude * samples * ((double)samples * samples - 1));
        Assert.InRange(exact / formula, 0.97, 1.003);
        // And by hand: Fisher information of (mean, cos, sin, ω), the tone's phase 0 at the first sample.
        var fisher = MathNet.Numerics.LinearAlgebra.Matrix<double>.Build.Dense(4, 4);
        for (int n = 0; n < samples; n++)
        {
            double turn = 2 * Math.PI * cyclesPerSample * n;
            double[] slope = [1, Math.Cos(turn), -Math.Sin(turn), -amplitude * n * Math.Sin(turn)];
            for (int i = 0; i < 4; i++)
            {
                for (int j = 0; j < 4; j++) fisher[i, j] += slope[i] * slope[j] / variance;
            }
        }
        Assert.InRange(fisher.Inverse()[3, 3] / exact, 0.9, 1.1); // the phase moves it by a little
    }

    [Fact]
    public void The_worked_value()
    {
        // 25 frames/s, 10 s, 1 % modulation, 0.1 % noise a frame: σ_f = 4.931e-4 Hz, σ_A = 8.94e-5; recomputed independently.
        double omega = Math.Sqrt(24 * 1e-6 / (1e-4 * 250 * (250.0 * 250 - 1)));
        Assert.Equal(4.931e-4, omega * 25 / (2 * Math.PI), 1e-7);
        Assert.Equal(8.94e-5, Math.Sqrt(2 * 1e-6 / 250), 1e-7);
    }

    [Theory]
    [InlineData(120, 64, 0.02, 0.002)]
    [InlineData(250, 48, 0.01, 0.001)]
    [InlineData(100, 32, 0.2, 0.05)]
    public void The_stated_deviations_are_those_of_the_bound(int frames, int rows, double amplitude, double noise)
    {
        var normal = new NormalNoise(frames);
        LightMatrix matrix = Planes.Of(frames, rows, (n, r) => 1 + amplitude * Math.Cos(2 * Math.PI * (0.21 * n + 0.09 * r) + 1) + noise * normal.Next());
        PlaneTone tone = ToneFit.Of(matrix, LineWeights.Even(rows), [new PlaneTone(0.21, 0.09, 0)], 0, 5).Tones[0];

        double all = (double)frames * rows;
        // The noise itself is known to 1/√(2 · cells).
        double tolerance = 5 / Math.Sqrt(2 * all) + 1.5 / rows;
        Assert.Equal(1, tone.AmplitudeDeviation / Math.Sqrt(2 * noise * noise / all), tolerance);
        Assert.Equal(1, tone.XDeviation * 2 * Math.PI / Math.Sqrt(24 * noise * noise / (amplitude * amplitude * all * ((double)frames * frames - 1))), tolerance);
        Assert.Equal(1, tone.NuDeviation * 2 * Math.PI / Math.Sqrt(24 * noise * noise / (amplitude * amplitude * all * ((double)rows * rows - 1))), tolerance);
    }
}
