using System.Numerics;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Modulation depth and flicker index of what was recorded, from the tones phased together.</summary>
/// <remarks>
/// Depth (max − min)/(max + min): IES "percent flicker"; flicker index: area above the mean over total area, IEV 845-22-094.
/// Two groups that share no period meet in every phase sooner or later, so the extremes are taken over both phases at once;
/// their sums and differences belong to both. Further groups add their own extremes.
/// </remarks>
internal static class RecordedWaveform
{
    /// <summary>One tone as a function of the phases of two fundamentals: Re( Z exp(i(A·u + B·v)) ).</summary>
    /// <param name="Z">Complex amplitude at u = v = 0.</param>
    /// <param name="A">Multiple of the first fundamental's phase.</param>
    /// <param name="B">Multiple of the second's.</param>
    /// <param name="Deviation">Standard deviation of Re Z and of Im Z.</param>
    internal readonly record struct Term(Complex Z, int A, int B, double Deviation);

    /// <summary>Depth with the standard deviation from the tones' noise, and flicker index; 0 when there is no term.</summary>
    internal readonly record struct Shape(double Depth, double DepthDeviation, double FlickerIndex, double Highest, double Lowest);

    /// <summary>Points in one period.</summary>
    public const int Points = 512;

    /// <summary>The shape of 1 + Σ terms, and of further groups that only add their extremes.</summary>
    public static Shape Of(IReadOnlyList<Term> terms, IReadOnlyList<IReadOnlyList<Term>> furtherGroups)
    {
        bool two = terms.Any(t => t.B != 0);
        int pointsU = two ? 128 : Points, pointsV = two ? 128 : 1;
        double highest = double.NegativeInfinity, lowest = double.PositiveInfinity, above = 0;
        (int U, int V) top = default, bottom = default;
        double[] sums = new double[pointsU];
        double[] cosine = [.. Enumerable.Range(0, Points).Select(i => Cos(2 * PI * i / Points))];
        int stepU = Points / pointsU, stepV = Points / Max(1, pointsV);
        for (int v = 0; v < pointsV; v++)
        {
            for (int u = 0; u < pointsU; u++)
            {
                double sum = 0;
                foreach (Term t in terms)
                {
                    int angle = Mod(t.A * u * stepU + t.B * v * (two ? stepV : 0));
                    sum += t.Z.Real * cosine[angle] - t.Z.Imaginary * cosine[Mod(angle - Points / 4)];
                }
                if (sum > highest) (highest, top) = (sum, (u, v));
                if (sum < lowest) (lowest, bottom) = (sum, (u, v));
                above += Max(0, sum);
                if (!two) sums[u] = sum;
            }
        }
        if (terms.Count == 0) (highest, lowest) = (0, 0);
        double ownLowest = lowest;
        double index = above / (pointsU * pointsV);
        double furtherVariance = 0;
        foreach (IReadOnlyList<Term> group in furtherGroups)
        {
            Shape shape = Of(group, []);
            highest += shape.Highest;
            lowest += shape.Lowest;
            furtherVariance += shape.DepthDeviation * shape.DepthDeviation;
            // Incommensurate parts add like independent deviations.
            index = Sqrt(index * index + shape.FlickerIndex * shape.FlickerIndex);
        }

        lowest = Max(lowest, -1);
        double mid = Max(1e-6, 1 + (highest + lowest) / 2);
        double depth = Clamp((highest - lowest) / 2 / mid, 0, 1);
        double variance = 0;
        // Where several bottoms are alike, noise may pick another one: the one that errs most against the top counts.
        double near = ownLowest + 0.5 * Sqrt(terms.Sum(t => t.Deviation * t.Deviation));
        foreach ((int U, int V) low in two ? [bottom] : Enumerable.Range(0, pointsU).Where(u => u == bottom.U || IsBottom(sums, u, near)).Select(u => (u, 0)))
        {
            double here = 0;
            foreach (Term t in terms)
            {
                double angleTop = 2 * PI * (t.A * (double)top.U / pointsU + t.B * (double)top.V / pointsV);
                double angleBottom = 2 * PI * (t.A * (double)low.U / pointsU + t.B * (double)low.V / pointsV);
                Complex slope = (Complex.FromPolarCoordinates(1 - depth, angleTop) - Complex.FromPolarCoordinates(1 + depth, angleBottom)) / (2 * mid);
                here += slope.Magnitude * slope.Magnitude * t.Deviation * t.Deviation;
            }
            variance = Max(variance, here);
        }
        variance += furtherVariance;
        return new Shape(depth, Sqrt(variance), Clamp(index, 0, 1), highest, lowest);
    }

    private static bool IsBottom(double[] sums, int at, double near) =>
        sums[at] < near && sums[at] <= sums[(at + 1) % sums.Length] && sums[at] <= sums[(at + sums.Length - 1) % sums.Length];

    /// <summary>The waveform 1 + Σ terms over one period of the first fundamental, the second left out.</summary>
    public static double[] OnePeriod(IReadOnlyList<Term> terms, int points)
    {
        double[] waveform = new double[points];
        for (int u = 0; u < points; u++)
        {
            waveform[u] = 1;
            foreach (Term t in terms)
            {
                if (t.B == 0) waveform[u] += (t.Z * Complex.FromPolarCoordinates(1, 2 * PI * t.A * u / points)).Real;
            }
        }
        return waveform;
    }

    private static int Mod(int angle) => ((angle % Points) + Points) % Points;
}
