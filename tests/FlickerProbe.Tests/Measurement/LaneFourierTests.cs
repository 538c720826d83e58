using System.Numerics;
using FlickerProbe.Measurement;
using MathNet.Numerics.IntegralTransforms;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Every lane against a general library and, where short, against the defining sum.</summary>
public class LaneFourierTests
{
    private static (Vector<float>[] Re, Vector<float>[] Im, Complex[][] Series) Make(int length)
    {
        var normal = new NormalNoise(length);
        Complex[][] series = [.. Enumerable.Range(0, Vector<float>.Count).Select(_ => Enumerable.Range(0, length).Select(_ => new Complex((float)normal.Next(), (float)normal.Next())).ToArray())];
        Vector<float>[] re = [.. Enumerable.Range(0, length).Select(n => new Vector<float>([.. series.Select(s => (float)s[n].Real)]))];
        Vector<float>[] im = [.. Enumerable.Range(0, length).Select(n => new Vector<float>([.. series.Select(s => (float)s[n].Imaginary)]))];
        return (re, im, series);
    }

    [Theory]
    [InlineData(2)]
    [InlineData(4)]
    [InlineData(8)]
    [InlineData(32)]
    [InlineData(256)]
    [InlineData(2048)]
    public void Every_lane_is_the_transform_of_a_general_library(int length)
    {
        (Vector<float>[] re, Vector<float>[] im, Complex[][] series) = Make(length);
        var fourier = new LaneFourier(length);
        // Twice, so that nothing of the first run may be left in its store.
        fourier.Forward([.. re], [.. im]);
        fourier.Forward(re, im);
        for (int lane = 0; lane < series.Length; lane++)
        {
            Complex[] expected = [.. series[lane]];
            Fourier.Forward(expected, FourierOptions.NoScaling);
            // Single precision: log₂ N roundings of about √N.
            for (int k = 0; k < length; k++)
                Assert.True((expected[k] - new Complex(re[k][lane], im[k][lane])).Magnitude < 1e-6 * Math.Sqrt(length) * (1 + Math.Log2(length)));
        }
    }

    [Fact]
    public void A_short_one_is_the_defining_sum()
    {
        (Vector<float>[] re, Vector<float>[] im, Complex[][] series) = Make(16);
        new LaneFourier(16).Forward(re, im);
        for (int k = 0; k < 16; k++)
        {
            Complex sum = Complex.Zero;
            for (int n = 0; n < 16; n++) sum += series[1][n] * Complex.FromPolarCoordinates(1, -2 * Math.PI * k * n / 16);
            Assert.True((sum - new Complex(re[k][1], im[k][1])).Magnitude < 2e-5);
        }
    }

    [Fact]
    public void Other_lengths_are_refused() => Assert.Throws<ArgumentOutOfRangeException>(() => new LaneFourier(24));
}
