using System.Numerics;
using System.Runtime.InteropServices;

namespace FlickerProbe.Measurement;

/// <summary>The inner loops of the fit, vectorised; plain-loop twins are in the tests.</summary>
internal static class RowKernel
{
    /// <summary>cos and sin of 2πν(line − origin).</summary>
    public static (float[] Cosine, float[] Sine) Wave(double nu, int lines, double origin)
    {
        float[] cosine = new float[lines], sine = new float[lines];
        for (int r = 0; r < lines; r++) (sine[r], cosine[r]) = ((float)Math.Sin(2 * Math.PI * nu * (r - origin)), (float)Math.Cos(2 * Math.PI * nu * (r - origin)));
        return (cosine, sine);
    }

    /// <summary>light[i]·gain·scale[i] − one[i].</summary>
    public static void Relative(ReadOnlySpan<float> light, float gain, ReadOnlySpan<float> scale, ReadOnlySpan<float> one, Span<float> into)
    {
        ReadOnlySpan<Vector<float>> vl = MemoryMarshal.Cast<float, Vector<float>>(light);
        ReadOnlySpan<Vector<float>> vs = MemoryMarshal.Cast<float, Vector<float>>(scale)[..vl.Length], vo = MemoryMarshal.Cast<float, Vector<float>>(one)[..vl.Length];
        Span<Vector<float>> vi = MemoryMarshal.Cast<float, Vector<float>>(into)[..vl.Length];
        for (int i = 0; i < vl.Length; i++) vi[i] = vl[i] * gain * vs[i] - vo[i];
        for (int i = vl.Length * Vector<float>.Count; i < light.Length; i++) into[i] = light[i] * gain * scale[i] - one[i];
    }

    /// <summary>Σ a[i]·b[i].</summary>
    public static double Dot(ReadOnlySpan<float> a, ReadOnlySpan<float> b)
    {
        ReadOnlySpan<Vector<float>> va = MemoryMarshal.Cast<float, Vector<float>>(a), vb = MemoryMarshal.Cast<float, Vector<float>>(b);
        Vector<float> sum0 = Vector<float>.Zero, sum1 = Vector<float>.Zero;
        int i = 0;
        for (; i + 1 < va.Length; i += 2)
        {
            sum0 += va[i] * vb[i];
            sum1 += va[i + 1] * vb[i + 1];
        }
        if (i < va.Length) sum0 += va[i] * vb[i];
        double total = Vector.Sum(sum0 + sum1);
        for (int j = va.Length * Vector<float>.Count; j < a.Length; j++) total += a[j] * b[j];
        return total;
    }

    /// <summary>Σ a[i]·b[i].</summary>
    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        ReadOnlySpan<Vector<double>> va = MemoryMarshal.Cast<double, Vector<double>>(a), vb = MemoryMarshal.Cast<double, Vector<double>>(b)[..va.Length];
        Vector<double> sum = default;
        for (int i = 0; i < va.Length; i++) sum += va[i] * vb[i];
        double total = Vector.Sum(sum);
        for (int j = va.Length * Vector<double>.Count; j < a.Length; j++) total += a[j] * b[j];
        return total;
    }

    /// <summary>Σ row[i]·(a, b)[i], the row read once.</summary>
    public static (double A, double B) Dots(ReadOnlySpan<float> row, ReadOnlySpan<float> a, ReadOnlySpan<float> b)
    {
        ReadOnlySpan<Vector<float>> vr = MemoryMarshal.Cast<float, Vector<float>>(row);
        ReadOnlySpan<Vector<float>> va = MemoryMarshal.Cast<float, Vector<float>>(a)[..vr.Length], vb = MemoryMarshal.Cast<float, Vector<float>>(b)[..vr.Length];
        Vector<float> evenA = default, evenB = default, oddA = default, oddB = default;
        int i = 0;
        for (; i + 1 < vr.Length; i += 2)
        {
            (Vector<float> even, Vector<float> odd) = (vr[i], vr[i + 1]);
            evenA += even * va[i];
            evenB += even * vb[i];
            oddA += odd * va[i + 1];
            oddB += odd * vb[i + 1];
        }
        if (i < vr.Length) (evenA, evenB) = (evenA + vr[i] * va[i], evenB + vr[i] * vb[i]);
        (double A, double B) sums = (Vector.Sum(evenA + oddA), Vector.Sum(evenB + oddB));
        for (int j = vr.Length * Vector<float>.Count; j < row.Length; j++) sums = (sums.A + row[j] * a[j], sums.B + row[j] * b[j]);
        return sums;
    }

    /// <summary>Σ row[i]·exp(−iθ[i]), θ being the tick's phase plus the line's.</summary>
    /// <param name="row">One tick's lines.</param>
    /// <param name="tick">exp(iθ) of the tick.</param>
    /// <param name="cosines">Cosine of each line's phase, with what weight the line has.</param>
    /// <param name="sines">Sine likewise.</param>
    public static Complex Project(ReadOnlySpan<float> row, Complex tick, ReadOnlySpan<float> cosines, ReadOnlySpan<float> sines)
    {
        (double cosine, double sine) = Dots(row, cosines, sines);
        return Complex.Conjugate(new Complex(cosine, sine) * tick);
    }

    /// <summary>target[i] −= other[i].</summary>
    public static void Subtract(Span<float> target, ReadOnlySpan<float> other)
    {
        Span<Vector<float>> vt = MemoryMarshal.Cast<float, Vector<float>>(target);
        ReadOnlySpan<Vector<float>> vo = MemoryMarshal.Cast<float, Vector<float>>(other)[..vt.Length];
        for (int i = 0; i < vt.Length; i++) vt[i] -= vo[i];
        for (int j = vt.Length * Vector<float>.Count; j < target.Length; j++) target[j] -= other[j];
    }

    /// <summary>Σ row[i]·(a, b, c, d)[i], the row read once.</summary>
    public static (double A, double B, double C, double D) Dots(ReadOnlySpan<float> row, ReadOnlySpan<float> a, ReadOnlySpan<float> b, ReadOnlySpan<float> c, ReadOnlySpan<float> d)
    {
        ReadOnlySpan<Vector<float>> vr = MemoryMarshal.Cast<float, Vector<float>>(row);
        ReadOnlySpan<Vector<float>> va = MemoryMarshal.Cast<float, Vector<float>>(a)[..vr.Length], vb = MemoryMarshal.Cast<float, Vector<float>>(b)[..vr.Length];
        ReadOnlySpan<Vector<float>> vc = MemoryMarshal.Cast<float, Vector<float>>(c)[..vr.Length], vd = MemoryMarshal.Cast<float, Vector<float>>(d)[..vr.Length];
        Vector<float> sumA = default, sumB = default, sumC = default, sumD = default;
        for (int i = 0; i < vr.Length; i++)
        {
            Vector<float> v = vr[i];
            sumA += v * va[i];
            sumB += v * vb[i];
            sumC += v * vc[i];
            sumD += v * vd[i];
        }
        (double A, double B, double C, double D) sums = (Vector.Sum(sumA), Vector.Sum(sumB), Vector.Sum(sumC), Vector.Sum(sumD));
        for (int j = vr.Length * Vector<float>.Count; j < row.Length; j++)
        {
            float v = row[j];
            sums = (sums.A + v * a[j], sums.B + v * b[j], sums.C + v * c[j], sums.D + v * d[j]);
        }
        return sums;
    }

    /// <summary>The four sums of products of two vectors' real and imaginary parts: Σ Re a·Re b, Σ Im a·Im b, Σ Re a·Im b, Σ Im a·Re b.</summary>
    public static (double ReRe, double ImIm, double ReIm, double ImRe) CrossProducts(
        ReadOnlySpan<double> aRe, ReadOnlySpan<double> aIm, ReadOnlySpan<double> bRe, ReadOnlySpan<double> bIm)
    {
        ReadOnlySpan<Vector<double>> ar = MemoryMarshal.Cast<double, Vector<double>>(aRe);
        ReadOnlySpan<Vector<double>> ai = MemoryMarshal.Cast<double, Vector<double>>(aIm)[..ar.Length];
        ReadOnlySpan<Vector<double>> br = MemoryMarshal.Cast<double, Vector<double>>(bRe)[..ar.Length], bi = MemoryMarshal.Cast<double, Vector<double>>(bIm)[..ar.Length];
        Vector<double> reRe = default, imIm = default, reIm = default, imRe = default;
        for (int i = 0; i < ar.Length; i++)
        {
            reRe += ar[i] * br[i];
            imIm += ai[i] * bi[i];
            reIm += ar[i] * bi[i];
            imRe += ai[i] * br[i];
        }
        (double ReRe, double ImIm, double ReIm, double ImRe) sums = (Vector.Sum(reRe), Vector.Sum(imIm), Vector.Sum(reIm), Vector.Sum(imRe));
        for (int j = ar.Length * Vector<double>.Count; j < aRe.Length; j++)
            sums = (sums.ReRe + aRe[j] * bRe[j], sums.ImIm + aIm[j] * bIm[j], sums.ReIm + aRe[j] * bIm[j], sums.ImRe + aIm[j] * bRe[j]);
        return sums;
    }

    /// <summary>Σ weights[i]·values[i]².</summary>
    public static double WeightedSquares(ReadOnlySpan<float> values, ReadOnlySpan<float> weights)
    {
        ReadOnlySpan<Vector<float>> vv = MemoryMarshal.Cast<float, Vector<float>>(values), vw = MemoryMarshal.Cast<float, Vector<float>>(weights);
        Vector<float> sum = default;
        for (int i = 0; i < vv.Length; i++) sum += vv[i] * vv[i] * vw[i];
        double total = Vector.Sum(sum);
        for (int j = vv.Length * Vector<float>.Count; j < values.Length; j++) total += (double)values[j] * values[j] * weights[j];
        return total;
    }

    /// <summary>target[i] += a·re[i] + b·im[i].</summary>
    public static void AddScaled(Span<float> target, float a, ReadOnlySpan<float> re, float b, ReadOnlySpan<float> im)
    {
        Span<Vector<float>> vt = MemoryMarshal.Cast<float, Vector<float>>(target);
        ReadOnlySpan<Vector<float>> vr = MemoryMarshal.Cast<float, Vector<float>>(re), vi = MemoryMarshal.Cast<float, Vector<float>>(im);
        for (int i = 0; i < vt.Length; i++) vt[i] += vr[i] * a + vi[i] * b;
        for (int j = vt.Length * Vector<float>.Count; j < target.Length; j++) target[j] += a * re[j] + b * im[j];
    }

    /// <summary>target[i] += a·other[i].</summary>
    public static void AddScaled(Span<double> target, double a, ReadOnlySpan<double> other)
    {
        Span<Vector<double>> vt = MemoryMarshal.Cast<double, Vector<double>>(target);
        ReadOnlySpan<Vector<double>> vo = MemoryMarshal.Cast<double, Vector<double>>(other)[..vt.Length];
        for (int i = 0; i < vt.Length; i++) vt[i] += vo[i] * a;
        for (int j = vt.Length * Vector<double>.Count; j < target.Length; j++) target[j] += a * other[j];
    }

    /// <summary>target[i] += a·other[i], summed in double precision.</summary>
    public static void AddScaled(Span<double> target, double a, ReadOnlySpan<float> other)
    {
        ReadOnlySpan<Vector<float>> vo = MemoryMarshal.Cast<float, Vector<float>>(other);
        Span<Vector<double>> vt = MemoryMarshal.Cast<double, Vector<double>>(target)[..(2 * vo.Length)];
        for (int i = 0; i < vo.Length; i++)
        {
            Vector.Widen(vo[i], out Vector<double> low, out Vector<double> high);
            vt[2 * i] += low * a;
            vt[2 * i + 1] += high * a;
        }
        for (int j = vo.Length * Vector<float>.Count; j < other.Length; j++) target[j] += a * other[j];
    }
}
