using System.Numerics;
using System.Runtime.InteropServices;

namespace FlickerProbe.Measurement;

/// <summary>The two inner loops of the fit, vectorised; plain-loop twins are in the tests.</summary>
internal static class RowKernel
{
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

    /// <summary>target[i] += a·re[i] + b·im[i].</summary>
    public static void AddScaled(Span<float> target, float a, ReadOnlySpan<float> re, float b, ReadOnlySpan<float> im)
    {
        Span<Vector<float>> vt = MemoryMarshal.Cast<float, Vector<float>>(target);
        ReadOnlySpan<Vector<float>> vr = MemoryMarshal.Cast<float, Vector<float>>(re), vi = MemoryMarshal.Cast<float, Vector<float>>(im);
        for (int i = 0; i < vt.Length; i++) vt[i] += vr[i] * a + vi[i] * b;
        for (int j = vt.Length * Vector<float>.Count; j < target.Length; j++) target[j] += a * re[j] + b * im[j];
    }
}
