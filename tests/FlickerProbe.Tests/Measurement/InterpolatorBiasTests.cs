using System.Numerics;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>
/// Sub-bin places by a parabola through three bins. Formula: M. Donadio, "How to interpolate frequency peaks". Largest biases over |δ| ≤ ½ bin,
/// noiseless complex tone, N = 256, recomputed independently: quadratic on ln|X| 0.1672 (no window), 0.0160 (Hann); on |X| 0.2340 and 0.0528.
/// </summary>
public class InterpolatorBiasTests
{
    private const int Length = 256;

    private static double[] Magnitudes(double bins, bool hann) =>
        [.. new[] { -1, 0, 1 }.Select(step =>
        {
            Complex sum = Complex.Zero;
            for (int n = 0; n < Length; n++)
                sum += (hann ? 0.5 - 0.5 * Math.Cos(2 * Math.PI * n / Length) : 1) * Complex.FromPolarCoordinates(1, 2 * Math.PI * (bins - 60 - step) * n / Length);
            return sum.Magnitude;
        })];

    private static double Quadratic(double a, double b, double c) => (c - a) / (2 * (2 * b - a - c));

    [Theory]
    [InlineData(true, true, 0.0160)]
    [InlineData(true, false, 0.1672)]
    [InlineData(false, true, 0.0528)]
    [InlineData(false, false, 0.2340)]
    public void The_published_biases(bool onLogarithm, bool hann, double expected)
    {
        double worst = 0;
        for (int i = -200; i <= 200; i++)
        {
            double[] m = Magnitudes(60 + i / 400.0, hann);
            if (onLogarithm) m = [.. m.Select(v => Math.Log(v))];
            worst = Math.Max(worst, Math.Abs(Quadratic(m[0], m[1], m[2]) - i / 400.0));
        }
        Assert.Equal(expected, worst, 1.1e-4);
    }

    [Fact]
    public void The_search_is_no_worse_than_the_published_bias_and_the_fit_removes_it()
    {
        double worst = 0;
        for (int i = -5; i <= 5; i++)
        {
            double x = (21 + i / 10.0) / 128, nu = (17 - i / 10.0) / 128;
            LightMatrix matrix = Planes.Of(128, 128, (n, r) => 1 + 0.1 * Math.Cos(2 * Math.PI * (x * n + nu * r) + i));
            PlaneSpectrum spectrum = PlaneSpectrum.Of(matrix, matrix.Relative);

            PlaneTone found = ToneSearch.Find(spectrum, NoiseFloor.Of(spectrum), matrix, [], 1)[0];
            PlaneTone fitted = ToneFit.Of(matrix, LineWeights.Even(128), [found], 0, 4).Tones[0];

            worst = Math.Max(worst, Math.Max(Math.Abs(found.X - x), Math.Abs(found.Nu - nu)) * 128);
            // The data are single precision; a part in a hundred thousand of a bin is left.
            Assert.Equal(x, fitted.X, 1e-5 / 128);
            Assert.Equal(nu, fitted.Nu, 1e-5 / 128);
            Assert.Equal(0.1, fitted.Amplitude, 1e-6);
        }
        Assert.InRange(worst, 0.01, 0.0161);
    }
}
