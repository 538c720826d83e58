using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using MathNet.Numerics.IntegralTransforms;
using MathNet.Numerics.LinearAlgebra;
using Complex = System.Numerics.Complex;

namespace FlickerProbe.Tests.Measurement;

/// <summary>The fast plane spectrum against the defining sum and against a general library on the same windowed matrix.</summary>
public class PlaneSpectrumTests
{
    private static double Hann(int i, int length) => 0.5 - 0.5 * Math.Cos(2 * Math.PI * (i + 0.5) / length);

    /// <summary>2/(Σw Σv) Σ Σ w v x exp(−i2π(k n/K + l (r + offset)/L)), as slowly as it is written.</summary>
    private static Complex Direct(LightMatrix matrix, float[] plane, int k, int aliasBins, int l, int lineBins)
    {
        Complex sum = Complex.Zero;
        double tickSum = 0, lineSum = 0;
        for (int r = 0; r < matrix.Lines; r++) lineSum += Hann(r, matrix.Lines);
        for (int n = 0; n < matrix.Ticks; n++)
        {
            if (!matrix.Present[n]) continue;
            tickSum += Hann(n, matrix.Ticks);
            for (int r = 0; r < matrix.Lines; r++)
            {
                double turns = (double)k * n / aliasBins + l * (r + matrix.LineOffset(n)) / lineBins;
                sum += Hann(n, matrix.Ticks) * Hann(r, matrix.Lines) * plane[n * matrix.Lines + r] * Complex.FromPolarCoordinates(1, -2 * Math.PI * turns);
            }
        }
        return sum * 2 / (tickSum * lineSum);
    }

    [Theory]
    [InlineData(16, 32, FieldOrder.Progressive, 0, false)]
    [InlineData(8, 24, FieldOrder.Progressive, 0, false)] // the shortest clip that counts as one
    [InlineData(13, 21, FieldOrder.Progressive, 0, false)] // odd, so the last tick has no partner
    [InlineData(29, 18, FieldOrder.Progressive, 0, true)]
    [InlineData(11, 20, FieldOrder.TopFieldFirst, 0, false)]
    [InlineData(11, 20, FieldOrder.BottomFieldFirst, 0, true)]
    [InlineData(11, 20, FieldOrder.TopFieldFirst, 1, true)]
    public void Every_bin_is_the_defining_sum(int frames, int rows, FieldOrder fields, int firstRow, bool gaps)
    {
        LightMatrix matrix = Planes.Of(frames, rows, (_, _) => 1, gaps ? [3, 4, 8] : null, fields, firstRow);
        float[] plane = Planes.Noise(matrix, frames + rows);

        PlaneSpectrum spectrum = PlaneSpectrum.Of(matrix, plane);

        Assert.True(spectrum.AliasBins >= matrix.Ticks && spectrum.LineBins >= matrix.Lines && spectrum.BandBins == spectrum.LineBins / 2 + 1);
        for (int l = 0; l < spectrum.BandBins; l++)
        {
            for (int k = 0; k < spectrum.AliasBins; k++)
            {
                double off = (Direct(matrix, plane, k, spectrum.AliasBins, l, spectrum.LineBins) - spectrum.At(k, l)).Magnitude;
                Assert.True(off < 1e-6, $"bin {k}, {l} is off by {off}");
            }
        }
    }

    [Theory]
    [InlineData(29, 18, FieldOrder.Progressive, true)]
    [InlineData(11, 20, FieldOrder.BottomFieldFirst, true)]
    [InlineData(33, 40, FieldOrder.Progressive, false)]
    public void Nothing_is_left_of_the_plane_before(int frames, int rows, FieldOrder fields, bool gaps)
    {
        LightMatrix matrix = Planes.Of(frames, rows, (_, _) => 1, gaps ? [3, 4, 8] : null, fields);
        float[] plane = Planes.Noise(matrix, 1);
        PlaneSpectrum fresh = PlaneSpectrum.Of(matrix, plane), used = PlaneSpectrum.Of(matrix, Planes.Noise(matrix, 2));
        used.TakeOut(0.2, 0.1, 3);

        used.Take(plane);

        for (int l = 0; l < fresh.BandBins; l++)
        {
            Assert.True(fresh.Real(l).SequenceEqual(used.Real(l)));
            Assert.True(fresh.Imaginary(l).SequenceEqual(used.Imaginary(l)));
        }
    }

    [Fact]
    public void It_is_the_two_dimensional_transform_of_a_general_library()
    {
        LightMatrix matrix = Planes.Of(50, 40, (_, _) => 1);
        float[] plane = Planes.Noise(matrix, 5);
        PlaneSpectrum spectrum = PlaneSpectrum.Of(matrix, plane);
        int aliasBins = spectrum.AliasBins, lineBins = spectrum.LineBins;
        double tickSum = Enumerable.Range(0, 50).Sum(n => Hann(n, 50)), lineSum = Enumerable.Range(0, 40).Sum(r => Hann(r, 40));
        var padded = Matrix<Complex>.Build.Dense(aliasBins, lineBins, (n, r) =>
            n < 50 && r < 40 ? plane[n * 40 + r] * Hann(n, 50) * Hann(r, 40) * 2 / (tickSum * lineSum) : Complex.Zero);

        // Lines first, each for itself as complex data, then ticks; the library's own two-dimensional call needs a native provider.
        Complex[] Transformed(Vector<Complex> values)
        {
            Complex[] copy = values.ToArray();
            Fourier.Forward(copy, FourierOptions.NoScaling);
            return copy;
        }
        for (int n = 0; n < aliasBins; n++) padded.SetRow(n, Transformed(padded.Row(n)));
        for (int l = 0; l < lineBins; l++) padded.SetColumn(l, Transformed(padded.Column(l)));

        for (int l = 0; l < spectrum.BandBins; l++)
        {
            for (int k = 0; k < aliasBins; k++) Assert.True((padded[k, l] - spectrum.At(k, l)).Magnitude < 1e-6);
        }
    }

    [Theory]
    [InlineData(0.17, 0.08)]
    [InlineData(-0.31, 0.22)]
    public void A_cosine_stands_at_its_place_with_its_amplitude(double x, double nu)
    {
        LightMatrix matrix = Planes.Of(128, 128, (_, _) => 1);
        (x, nu) = (Math.Round(x * 128) / 128, Math.Round(nu * 128) / 128);
        float[] plane = [.. Enumerable.Range(0, 128 * 128).Select(i => (float)(0.3 * Math.Cos(2 * Math.PI * (x * (i / 128) + nu * (i % 128)) + 0.4)))];

        PlaneSpectrum spectrum = PlaneSpectrum.Of(matrix, plane);

        Complex peak = spectrum.At(spectrum.AliasBin(x), (int)(nu * 128));
        Assert.Equal(0.3, peak.Magnitude, 1e-5);
        Assert.Equal(0.4, peak.Phase, 1e-4);
        Assert.Equal(0.3, spectrum.HighestByBand().Max(), 1e-5);
    }

    [Fact]
    public void A_tone_taken_out_leaves_what_was_beside_it()
    {
        LightMatrix matrix = Planes.Of(100, 90, (_, _) => 1, [20, 21, 55]);
        const double X = 0.1234, Nu = 0.0567;
        float[] tone = [.. Enumerable.Range(0, 100 * 90).Select(i => matrix.Present[i / 90] ? (float)(0.5 * Math.Cos(2 * Math.PI * (X * (i / 90) + Nu * (i % 90)) + 1)) : 0)];
        PlaneSpectrum spectrum = PlaneSpectrum.Of(matrix, tone);

        Complex z = spectrum.TakeOut(X, Nu, 1000);

        // The nearest bin also holds a little of the tone's mirror image; a Hann window leaves it about 0.1 % here.
        Assert.True((z - Complex.FromPolarCoordinates(0.5, 1)).Magnitude < 0.002);
        Assert.True(spectrum.HighestByBand().Max() < 0.002);
    }
}
