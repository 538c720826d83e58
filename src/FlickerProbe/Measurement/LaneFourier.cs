using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Discrete Fourier transforms of as many series at once as a vector has lanes: entry n holds sample n of all of them.</summary>
/// <remarks>
/// Self-sorting radix-2 after Stockham: Cochran et al., "What is the fast Fourier transform?", Proc. IEEE 55 (1967). A general-purpose
/// library transforms one series at a time; the plane has thousands of equal length, and side by side they take a tenth of the time
/// (the benchmark report compares them; the tests hold one against the other).
/// </remarks>
internal sealed class LaneFourier
{
    private readonly Vector<float>[] _re, _im;
    private readonly float[] _cos, _sin;

    /// <summary>Prepares transforms of one length.</summary>
    /// <param name="length">A power of two.</param>
    public LaneFourier(int length)
    {
        if (!BitOperations.IsPow2(length)) throw new ArgumentOutOfRangeException(nameof(length), length, "The length must be a power of two.");
        Length = length;
        (_re, _im) = (new Vector<float>[length], new Vector<float>[length]);
        (_cos, _sin) = (new float[length / 2], new float[length / 2]);
        for (int i = 0; i < length / 2; i++) (_cos[i], _sin[i]) = ((float)Cos(2 * PI * i / length), (float)-Sin(2 * PI * i / length));
    }

    /// <summary>Samples of each series.</summary>
    public int Length { get; }

    /// <summary>Σ x[n]·exp(−i2πkn/length) in place, unscaled.</summary>
    public void Forward(Vector<float>[] re, Vector<float>[] im)
    {
        (Vector<float>[] fromRe, Vector<float>[] fromIm, Vector<float>[] toRe, Vector<float>[] toIm) = (re, im, _re, _im);
        for (int half = Length / 2, stride = 1; half >= 1; half /= 2, stride *= 2)
        {
            for (int p = 0; p < half; p++)
            {
                float c = _cos[p * stride], s = _sin[p * stride];
                for (int q = 0; q < stride; q++)
                {
                    int first = q + stride * p, second = first + stride * half, to = q + stride * 2 * p;
                    Vector<float> aRe = fromRe[first], aIm = fromIm[first], bRe = fromRe[second], bIm = fromIm[second];
                    toRe[to] = aRe + bRe;
                    toIm[to] = aIm + bIm;
                    Vector<float> dRe = aRe - bRe, dIm = aIm - bIm;
                    toRe[to + stride] = dRe * c - dIm * s;
                    toIm[to + stride] = dRe * s + dIm * c;
                }
            }
            (fromRe, toRe) = (toRe, fromRe);
            (fromIm, toIm) = (toIm, fromIm);
        }
        if (int.Log2(Length) % 2 == 0) return;
        fromRe.CopyTo(toRe, 0);
        fromIm.CopyTo(toIm, 0);
    }
}
