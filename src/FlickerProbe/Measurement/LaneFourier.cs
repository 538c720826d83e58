using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Discrete Fourier transforms of as many series at once as a vector has lanes: entry n holds sample n of all of them.</summary>
/// <remarks>
/// Self-sorting, four at a time, after Stockham: Cochran et al., "What is the fast Fourier transform?", Proc. IEEE 55 (1967). A general-purpose
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
        (_cos, _sin) = (new float[length], new float[length]);
        for (int i = 0; i < length; i++) (_cos[i], _sin[i]) = ((float)Cos(2 * PI * i / length), (float)-Sin(2 * PI * i / length));
    }

    /// <summary>Samples of each series.</summary>
    public int Length { get; }

    /// <summary>Σ x[n]·exp(−i2πkn/length) in place, unscaled.</summary>
    public void Forward(Vector<float>[] re, Vector<float>[] im)
    {
        (Vector<float>[] fromRe, Vector<float>[] fromIm, Vector<float>[] toRe, Vector<float>[] toIm) = (re, im, _re, _im);
        int stride = 1;
        for (; Length / stride >= 4; stride *= 4)
        {
            ByFour(stride, fromRe, fromIm, toRe, toIm);
            (fromRe, toRe) = (toRe, fromRe);
            (fromIm, toIm) = (toIm, fromIm);
        }
        if (stride < Length)
        {
            ByTwo(stride, fromRe, fromIm, toRe, toIm);
            (fromRe, fromIm) = (toRe, toIm);
        }
        if (fromRe == re) return;
        fromRe.CopyTo(re, 0);
        fromIm.CopyTo(im, 0);
    }

    private void ByFour(int stride, Vector<float>[] fromRe, Vector<float>[] fromIm, Vector<float>[] toRe, Vector<float>[] toIm)
    {
        int quarter = Length / 4;
        for (int p = 0; p < quarter; p += stride)
        {
            (float c1, float s1, float c2, float s2, float c3, float s3) = (_cos[p], _sin[p], _cos[2 * p], _sin[2 * p], _cos[3 * p], _sin[3 * p]);
            for (int q = 0; q < stride; q++)
            {
                int from = p + q, to = 4 * p + q;
                Vector<float> aRe = fromRe[from], aIm = fromIm[from], cRe = fromRe[from + 2 * quarter], cIm = fromIm[from + 2 * quarter];
                Vector<float> bRe = fromRe[from + quarter], bIm = fromIm[from + quarter], dRe = fromRe[from + 3 * quarter], dIm = fromIm[from + 3 * quarter];
                Vector<float> evenRe = aRe + cRe, evenIm = aIm + cIm, oddRe = bRe + dRe, oddIm = bIm + dIm;
                toRe[to] = evenRe + oddRe;
                toIm[to] = evenIm + oddIm;
                Vector<float> re2 = evenRe - oddRe, im2 = evenIm - oddIm;
                toRe[to + 2 * stride] = re2 * c2 - im2 * s2;
                toIm[to + 2 * stride] = re2 * s2 + im2 * c2;
                // A turn by a quarter: −i(b − d) is (bIm − dIm, dRe − bRe).
                Vector<float> differRe = aRe - cRe, differIm = aIm - cIm, turnedRe = bIm - dIm, turnedIm = dRe - bRe;
                Vector<float> re1 = differRe + turnedRe, im1 = differIm + turnedIm, re3 = differRe - turnedRe, im3 = differIm - turnedIm;
                toRe[to + stride] = re1 * c1 - im1 * s1;
                toIm[to + stride] = re1 * s1 + im1 * c1;
                toRe[to + 3 * stride] = re3 * c3 - im3 * s3;
                toIm[to + 3 * stride] = re3 * s3 + im3 * c3;
            }
        }
    }

    // What is left of an odd power of two: pairs that need no turn any more.
    private static void ByTwo(int stride, Vector<float>[] fromRe, Vector<float>[] fromIm, Vector<float>[] toRe, Vector<float>[] toIm)
    {
        for (int q = 0; q < stride; q++)
        {
            (toRe[q], toRe[q + stride]) = (fromRe[q] + fromRe[q + stride], fromRe[q] - fromRe[q + stride]);
            (toIm[q], toIm[q + stride]) = (fromIm[q] + fromIm[q + stride], fromIm[q] - fromIm[q + stride]);
        }
    }
}
