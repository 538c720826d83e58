using System.Numerics;
using System.Runtime.InteropServices;
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
    private readonly float[] _re, _im; // [band bin * _apart + alias bin]
    private readonly int _apart;
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
        // Rows a power of two apart would fight for the same few places of the processor's cache.
        _apart = aliasBins + 16;
        (_re, _im) = (new float[BandBins * _apart], new float[BandBins * _apart]);
    }

    /// <summary>Number of alias bins; bin k is k/AliasBins cycles per tick, upper half negative.</summary>
    public int AliasBins { get; }

    /// <summary>Length of the transform along lines; band bin l is l/LineBins cycles per line.</summary>
    public int LineBins { get; }

    /// <summary>Number of band bins kept (ν ≥ 0).</summary>
    public int BandBins { get; }

    /// <summary>Independent cells of the plane per bin, below 1 when padded.</summary>
    public double CellsPerBin { get; }

    /// <summary>The spectrum at one bin.</summary>
    public Complex At(int aliasBin, int bandBin) => new(_re[bandBin * _apart + aliasBin], _im[bandBin * _apart + aliasBin]);

    /// <summary>Real parts of one band bin, all aliases.</summary>
    public Span<float> Real(int bandBin) => _re.AsSpan(bandBin * _apart, AliasBins);

    /// <summary>Imaginary parts of one band bin, all aliases.</summary>
    public Span<float> Imaginary(int bandBin) => _im.AsSpan(bandBin * _apart, AliasBins);

    /// <summary>Transforms a plane (ticks × lines, same shape as the matrix).</summary>
    public static PlaneSpectrum Of(LightMatrix matrix, float[] plane)
    {
        var spectrum = new PlaneSpectrum(matrix, PowerOfTwo(matrix.Ticks), PowerOfTwo(matrix.Lines));
        spectrum.Take(plane);
        return spectrum;
    }

    /// <summary>Transforms another plane of the same matrix in the place of the one before: the spectrum is twice as large as the plane.</summary>
    public void Take(float[] plane)
    {
        TransformLines(plane);
        TransformTicks();
    }

    /// <summary>The largest magnitude of each band bin over all aliases.</summary>
    public double[] HighestByBand()
    {
        double[] highest = new double[BandBins];
        for (int l = 0; l < BandBins; l++)
        {
            ReadOnlySpan<float> re = Real(l), im = Imaginary(l);
            float power = 0;
            for (int k = 0; k < re.Length; k++) power = Max(power, re[k] * re[k] + im[k] * im[k]);
            highest[l] = Sqrt(power);
        }
        return highest;
    }

    // Two real ticks travel as the real and imaginary part of one complex series; tick n + lane beside tick n + lanes + lane.
    private void TransformLines(float[] plane)
    {
        int lanes = Vector<float>.Count, lines = _matrix.Lines, batches = (_matrix.Ticks + 2 * lanes - 1) / (2 * lanes);
        float[] lineWindow = [.. _lineWindow.Select(w => (float)(w * _scale))];
        Parallel.For(0, batches, () => (new LaneFourier(LineBins), new Vector<float>[LineBins], new Vector<float>[LineBins]), (batch, _, work) =>
        {
            (LaneFourier fourier, Vector<float>[] re, Vector<float>[] im) = work;
            Array.Clear(re);
            Array.Clear(im);
            int first = batch * 2 * lanes;
            for (int lane = 0; lane < 2 * lanes && first + lane < _matrix.Ticks; lane++)
            {
                Span<float> to = MemoryMarshal.Cast<Vector<float>, float>((lane < lanes ? re : im).AsSpan());
                ReadOnlySpan<float> from = plane.AsSpan((first + lane) * lines, lines);
                float window = (float)_tickWindow[first + lane];
                for (int r = 0, i = lane % lanes; r < lines; r++, i += lanes) to[i] = from[r] * window * lineWindow[r];
            }
            fourier.Forward(re, im);
            for (int l = 0; l < BandBins; l++)
            {
                int mirror = (LineBins - l) % LineBins, at = l * _apart + first;
                ((re[l] + re[mirror]) * 0.5f).CopyTo(_re, at);
                ((im[l] - im[mirror]) * 0.5f).CopyTo(_im, at);
                ((im[l] + im[mirror]) * 0.5f).CopyTo(_re, at + lanes);
                ((re[mirror] - re[l]) * 0.5f).CopyTo(_im, at + lanes);
            }
            return work;
        }, _ => { });
    }

    private void TransformTicks()
    {
        int lanes = Vector<float>.Count, batches = (BandBins + lanes - 1) / lanes;
        Parallel.For(0, batches, () => (new LaneFourier(AliasBins), new Vector<float>[AliasBins], new Vector<float>[AliasBins]), (batch, _, work) =>
        {
            (LaneFourier fourier, Vector<float>[] re, Vector<float>[] im) = work;
            Array.Clear(re);
            Array.Clear(im);
            Span<float> reLanes = MemoryMarshal.Cast<Vector<float>, float>(re.AsSpan()), imLanes = MemoryMarshal.Cast<Vector<float>, float>(im.AsSpan());
            int first = batch * lanes, count = Min(lanes, BandBins - first);
            for (int lane = 0; lane < count; lane++)
            {
                ReadOnlySpan<float> fromRe = Real(first + lane), fromIm = Imaginary(first + lane);
                for (int n = 0, i = lane; n < _matrix.Ticks; n++, i += lanes) (reLanes[i], imLanes[i]) = (fromRe[n], fromIm[n]);
                if (_matrix.Parities > 1) Shift(reLanes[lane..], imLanes[lane..], lanes, first + lane);
            }
            fourier.Forward(re, im);
            for (int lane = 0; lane < count; lane++)
            {
                Span<float> toRe = Real(first + lane), toIm = Imaginary(first + lane);
                for (int k = 0, i = lane; k < AliasBins; k++, i += lanes) (toRe[k], toIm[k]) = (reLanes[i], imLanes[i]);
            }
            return work;
        }, _ => { });
    }

    // Lines of the second field lie half a line lower: its ticks turn by that much at each band frequency.
    private void Shift(Span<float> re, Span<float> im, int step, int bandBin)
    {
        for (int n = 0; n < _matrix.Ticks; n++)
        {
            double offset = _matrix.LineOffset(n);
            if (offset == 0) continue;
            Complex z = new Complex(re[n * step], im[n * step]) * Complex.FromPolarCoordinates(1, -2 * PI * bandBin / LineBins * offset);
            (re[n * step], im[n * step]) = ((float)z.Real, (float)z.Imaginary);
        }
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
        Complex z = At(k, l) / (0.5 * _scale * ticks[k] * lines[l]);
        Image tone = new(ticks, lines, z, k, (int)Round(nu * LineBins)), mirrored = tone.Mirrored(AliasBin(-x));
        // Row after row, so that a row is in the cache for both; none beyond their reach.
        Parallel.For(0, Min(BandBins, Abs(tone.Band) + reachBins + 1), l =>
        {
            Subtract(tone, l, reachBins);
            Subtract(mirrored, l, reachBins);
        });
        return z;
    }

    /// <summary>The alias bin nearest to x cycles per tick.</summary>
    public int AliasBin(double x) => AliasBin(x, AliasBins);

    /// <summary>The bin nearest to a tone, or to its mirror image where that lies at ν ≥ 0.</summary>
    /// <param name="tone">The tone.</param>
    /// <param name="matrix">Shape of the plane.</param>
    /// <param name="aliasBins">Alias bins of the spectrum.</param>
    /// <param name="bandBins">Band bins kept of it.</param>
    public static (int Alias, int Band) BinOf(PlaneTone tone, LightMatrix matrix, int aliasBins, int bandBins)
    {
        (double x, double nu) = matrix.Wrapped(tone.X, tone.Nu);
        return (AliasBin(nu < 0 ? -x : x, aliasBins), Min((int)Round(Abs(nu) * 2 * (bandBins - 1)), bandBins - 1));
    }

    private static int AliasBin(double x, int bins) => (((int)Round(x * bins) % bins) + bins) % bins;

    private void Subtract(Image image, int l, int reach)
    {
        if (Abs(l - image.Band) > reach) return;
        Complex part = image.Amplitude * (_scale * 0.5) * image.Lines[l];
        (float a, float b) = ((float)-part.Real, (float)-part.Imaginary);
        int from = image.Alias - reach, count = Min(AliasBins, 2 * reach + 1);
        if (count == AliasBins) from = 0;
        // Aliases go round in a circle: at most three straight pieces.
        for (int done = 0; done < count;)
        {
            int k = ((from + done) % AliasBins + AliasBins) % AliasBins, piece = Min(count - done, AliasBins - k);
            ReadOnlySpan<float> re = image.TickRe.AsSpan(k, piece), im = image.TickIm.AsSpan(k, piece);
            RowKernel.AddScaled(Real(l).Slice(k, piece), a, re, -b, im);
            RowKernel.AddScaled(Imaginary(l).Slice(k, piece), b, re, a, im);
            done += piece;
        }
    }

    /// <summary>One of the two peaks that a cosine makes in the whole plane: what the windows make of it along ticks and along lines, and where it stands.</summary>
    private sealed record Image(Complex[] Ticks, Complex[] Lines, Complex Amplitude, int Alias, int Band)
    {
        public float[] TickRe { get; } = [.. Ticks.Select(t => (float)t.Real)];

        public float[] TickIm { get; } = [.. Ticks.Select(t => (float)t.Imaginary)];

        public Image Mirrored(int alias) => new(Turned(Ticks), Turned(Lines), Complex.Conjugate(Amplitude), alias, -Band);

        // The transform of the conjugate: bin k takes what −k had.
        private static Complex[] Turned(Complex[] bins) => [.. bins.Select((_, k) => Complex.Conjugate(bins[(bins.Length - k) % bins.Length]))];
    }

    private static Complex[] WindowTransform(double[] window, double cyclesPerSample, int length)
    {
        var buffer = new Complex[length];
        for (int i = 0; i < window.Length; i++) buffer[i] = Complex.FromPolarCoordinates(window[i], 2 * PI * cyclesPerSample * i);
        Fourier.Forward(buffer, FourierOptions.NoScaling);
        return buffer;
    }

    /// <summary>The raised cosine that fades both ends of so many samples to nothing.</summary>
    internal static double[] Hann(int length)
    {
        double[] window = new double[length];
        for (int i = 0; i < length; i++) window[i] = length == 1 ? 1 : 0.5 - 0.5 * Cos(2 * PI * (i + 0.5) / length);
        return window;
    }

    // Two lanes' worth at least, so that whole vectors can be stored.
    private static int PowerOfTwo(int atLeast) => (int)BitOperations.RoundUpToPowerOf2((uint)Max(atLeast, Max(8, 2 * Vector<float>.Count)));
}
