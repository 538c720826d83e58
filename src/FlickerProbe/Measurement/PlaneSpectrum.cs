using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>The two-dimensional spectrum of ticks × lines: Hann window both ways, half plane of band frequencies ν ≥ 0.</summary>
/// <remarks>
/// Scaled so that a cosine of amplitude A away from the edges of the plane stands as a peak of height A.
/// Hann window: Harris, "On the use of windows for harmonic analysis with the discrete Fourier transform", Proc. IEEE 66(1), 1978.
/// </remarks>
internal sealed class PlaneSpectrum
{
    private readonly Complex[][] _columns; // [band bin][alias bin]
    private readonly double[] _tickWindow, _lineWindow;
    private readonly LightMatrix _matrix;
    private readonly double _scale;

    private PlaneSpectrum(LightMatrix matrix, int aliasBins, int lineBins)
    {
        _matrix = matrix;
        AliasBins = aliasBins;
        LineBins = lineBins;
        BandBins = lineBins / 2 + 1;
        _tickWindow = Hann(matrix.Ticks);
        for (int n = 0; n < matrix.Ticks; n++) _tickWindow[n] *= matrix.Present[n] ? 1 : 0;
        _lineWindow = Hann(matrix.Lines);
        double tickSum = _tickWindow.Sum(), lineSum = _lineWindow.Sum();
        _scale = 2 / (tickSum * lineSum);
        CellsPerBin = (double)matrix.Ticks / aliasBins * matrix.Lines / lineBins;
        _columns = new Complex[BandBins][];
        for (int l = 0; l < BandBins; l++) _columns[l] = new Complex[aliasBins];
    }

    /// <summary>Number of alias bins; bin k is k/AliasBins cycles per tick, upper half negative.</summary>
    public int AliasBins { get; }

    /// <summary>Length of the transform along lines; band bin l is l/LineBins cycles per line.</summary>
    public int LineBins { get; }

    /// <summary>Number of band bins kept (ν ≥ 0).</summary>
    public int BandBins { get; }

    /// <summary>Independent cells of the plane per bin, below 1 when padded.</summary>
    public double CellsPerBin { get; }

    /// <summary>The column of one band bin, all aliases.</summary>
    public Complex[] Column(int bandBin) => _columns[bandBin];

    /// <summary>Transforms a plane (ticks × lines, same shape as the matrix).</summary>
    public static PlaneSpectrum Of(LightMatrix matrix, float[] plane)
    {
        var spectrum = new PlaneSpectrum(matrix, PowerOfTwo(matrix.Ticks), PowerOfTwo(matrix.Lines));
        spectrum.Transform(plane);
        return spectrum;
    }

    private void Transform(float[] plane)
    {
        int lines = _matrix.Lines;
        var packed = new Complex[LineBins];
        // Two real rows at a time as real and imaginary part of one complex transform.
        for (int n = 0; n < _matrix.Ticks; n += 2)
        {
            Array.Clear(packed);
            int second = n + 1 < _matrix.Ticks ? n + 1 : -1;
            for (int r = 0; r < lines; r++)
            {
                packed[r] = new Complex(
                    plane[n * lines + r] * _tickWindow[n] * _lineWindow[r],
                    second < 0 ? 0 : plane[second * lines + r] * _tickWindow[second] * _lineWindow[r]);
            }
            Fourier.Forward(packed, FourierOptions.NoScaling);
            for (int l = 0; l < BandBins; l++)
            {
                Complex z = packed[l], mirrored = Complex.Conjugate(packed[(LineBins - l) % LineBins]);
                _columns[l][n] = (z + mirrored) * (0.5 * _scale) * OffsetPhasor(n, l);
                if (second >= 0) _columns[l][second] = (z - mirrored) * new Complex(0, -0.5 * _scale) * OffsetPhasor(second, l);
            }
        }
        for (int l = 0; l < BandBins; l++) Fourier.Forward(_columns[l], FourierOptions.NoScaling);
    }

    private Complex OffsetPhasor(int tick, int bandBin)
    {
        double offset = _matrix.LineOffset(tick);
        return offset == 0 ? Complex.One : Complex.FromPolarCoordinates(1, -2 * PI * bandBin / LineBins * offset);
    }

    /// <summary>Takes a tone at (x, ν) and its mirror image out of the spectrum, windows and gaps counted; its height is read at the nearest bin.</summary>
    /// <param name="x">Cycles per tick.</param>
    /// <param name="nu">Cycles per line.</param>
    /// <param name="reachBins">Only bins this near the peak are touched, both ways.</param>
    /// <returns>Complex amplitude of the cosine at tick 0, line 0.</returns>
    public Complex TakeOut(double x, double nu, int reachBins)
    {
        Complex[] ticks = WindowTransform(_tickWindow, x, AliasBins);
        Complex[] lines = WindowTransform(_lineWindow, nu, LineBins);
        int k = AliasBin(x), l = Clamp((int)Round(nu * LineBins), 0, BandBins - 1);
        Complex z = _columns[l][k] / (0.5 * _scale * ticks[k] * lines[l]);
        SubtractImage(ticks, lines, z, x, nu, reachBins);
        for (int i = 0; i < ticks.Length; i++) ticks[i] = Complex.Conjugate(ticks[i]);
        for (int i = 0; i < lines.Length; i++) lines[i] = Complex.Conjugate(lines[i]);
        Array.Reverse(ticks, 1, ticks.Length - 1);
        Array.Reverse(lines, 1, lines.Length - 1);
        SubtractImage(ticks, lines, Complex.Conjugate(z), -x, -nu, reachBins);
        return z;
    }

    /// <summary>The alias bin nearest to x cycles per tick.</summary>
    public int AliasBin(double x) => (((int)Round(x * AliasBins) % AliasBins) + AliasBins) % AliasBins;

    private void SubtractImage(Complex[] ticks, Complex[] lines, Complex z, double x, double nu, int reach)
    {
        int centreAlias = (int)Round(x * AliasBins), centreBand = (int)Round(nu * LineBins);
        Complex weight = z * (_scale * 0.5);
        for (int j = -reach; j <= reach; j++)
        {
            int l = centreBand + j;
            if (l < 0 || l >= BandBins) continue;
            Complex[] column = _columns[l];
            Complex part = weight * lines[l];
            if (reach >= AliasBins / 2)
            {
                for (int k = 0; k < AliasBins; k++) column[k] -= part * ticks[k];
                continue;
            }
            for (int i = -reach; i <= reach; i++)
            {
                int k = ((centreAlias + i) % AliasBins + AliasBins) % AliasBins;
                column[k] -= part * ticks[k];
            }
        }
    }

    private static Complex[] WindowTransform(double[] window, double cyclesPerSample, int length)
    {
        var buffer = new Complex[length];
        for (int i = 0; i < window.Length; i++) buffer[i] = Complex.FromPolarCoordinates(window[i], 2 * PI * cyclesPerSample * i);
        Fourier.Forward(buffer, FourierOptions.NoScaling);
        return buffer;
    }

    private static double[] Hann(int length)
    {
        double[] window = new double[length];
        for (int i = 0; i < length; i++) window[i] = length == 1 ? 1 : 0.5 - 0.5 * Cos(2 * PI * (i + 0.5) / length);
        return window;
    }

    private static int PowerOfTwo(int atLeast) => (int)BitOperations.RoundUpToPowerOf2((uint)Max(atLeast, 8));
}
