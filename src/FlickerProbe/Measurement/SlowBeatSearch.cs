using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Finds bands that hardly move: beats of under about three cycles in the clip, which a windowed spectrum loses.</summary>
/// <remarks>
/// Each line's time series is reduced to a few slow cosines. A tone z·exp(i2π(x n + ν r)) appears in cosine j of line r as
/// Re(z g_j(x) exp(i2πνr)) with known g_j, so at each ν all cosines together give z by least squares, and the power it explains is the
/// test. Level drift common to all lines is taken out of each cosine first. The joint fit refines what is found.
/// </remarks>
internal static class SlowBeatSearch
{
    /// <summary>Slow cosines kept; cosine j runs j/2 cycles in the clip.</summary>
    private const int Cosines = 8;

    /// <summary>Lines whose sums one processor works out at a time.</summary>
    private const int LinesAtOnce = 128;

    /// <summary>Places handed out for the fit to start from.</summary>
    private const int Starts = 10;

    /// <summary>An amplitude above this is no light but two that nearly cancel.</summary>
    private const double LargestStart = 2.1;

    /// <summary>Fastest beat searched, cycles in the clip.</summary>
    private const double MostCycles = 3.2;

    /// <summary>Finds the strongest slow tone in the residual; none when nothing stands out.</summary>
    /// <returns>Places from which a fit may start, the best first: hardly moving bands look alike over a wide range of rates and band numbers,
    /// and only the fit itself tells them apart.</returns>
    public static List<PlaneTone> Find(LightMatrix matrix, float[] residual, double[] lineWeights, IReadOnlyList<PlaneTone> known)
    {
        var found = new List<PlaneTone>();
        if (matrix.Count < 16 || matrix.Lines < 16) return found;
        double[][] basis = Basis(matrix);
        double[][] reduced = Reduce(matrix, residual, basis);
        double[] cycles = [.. Enumerable.Range(1, 16).Select(i => i * MostCycles / 16 * 1.0)];
        var candidates = new List<(double Ratio, double X, double Nu, double Amplitude)>();
        foreach (double[] part in reduced) RemoveMean(part, lineWeights);

        // Band frequencies in steps of a third of a cell; both signs of the alias.
        double step = 1.0 / (3 * matrix.Lines);
        int bands = Min((int)(0.45 / step), 1500);
        double[] alias = [.. cycles.SelectMany(c => new[] { c / matrix.Ticks, -c / matrix.Ticks })];
        Complex[][] responses = new Complex[alias.Length][];
        Parallel.For(0, alias.Length, a => responses[a] = Response(matrix, basis, alias[a]));
        double[,] power = new double[bands, alias.Length], amplitude = new double[bands, alias.Length];
        float[][] parts = [.. reduced.Select(part => part.Select((value, r) => (float)(value * lineWeights[r])).ToArray())];
        Parallel.For(0, bands, b =>
        {
            (Complex[] transform, double determined) = BandTransforms(parts, (b + 1) * step, lineWeights);
            for (int a = 0; a < alias.Length; a++)
            {
                Complex sum = Complex.Zero;
                double norm = 0;
                for (int j = 0; j < Cosines; j++)
                {
                    sum += Complex.Conjugate(responses[a][j]) * transform[j];
                    norm += responses[a][j].Magnitude * responses[a][j].Magnitude;
                }
                power[b, a] = norm > 0 ? sum.Magnitude * sum.Magnitude / norm : 0;
                amplitude[b, a] = norm > 0 && determined > 0 ? sum.Magnitude / norm / determined : 0;
            }
        });

        double ratioNeeded = Log(bands * Cosines) - Log(ToneSearch.FalseAlarm);
        double[] typical = new double[alias.Length];
        for (int a = 0; a < alias.Length; a++)
            typical[a] = Order.Median([.. Enumerable.Range(0, bands).Select(b => power[b, a])]) / Log(2);
        double floorLevel = Order.Median(typical);
        for (int b = 0; b < bands; b++)
        {
            for (int a = 0; a < alias.Length; a++)
            {
                double ratio = power[b, a] / Max(typical[a], 0.5 * floorLevel);
                if (ratio > ratioNeeded) candidates.Add((ratio, alias[a], (b + 1) * step, amplitude[b, a]));
            }
        }
        candidates.RemoveAll(c => c.Amplitude > LargestStart
            || known.Any(t => Abs(ToneSearch.Wrap(t.X - c.X)) * matrix.Ticks < 6 && Abs(t.Nu - c.Nu) * matrix.Lines < 3)
            || known.Any(t => Abs(ToneSearch.Wrap(t.X + c.X)) * matrix.Ticks < 6 && Abs(t.Nu + c.Nu) * matrix.Lines < 3));
        if (candidates.Count == 0) return found;
        double most = candidates.Max(c => c.Ratio);
        foreach ((double ratio, double x, double nu, double size) in candidates.OrderByDescending(c => c.Ratio))
        {
            if (found.Count >= Starts || ratio < 0.3 * most) break;
            if (found.Exists(t => Abs(t.X - x) * matrix.Ticks < 0.35 && Abs(t.Nu - nu) * matrix.Lines < 0.5)) continue;
            found.Add(new PlaneTone(x, nu, Complex.Zero) { Slow = true, SearchAmplitude = size });
        }
        return found;
    }

    private static double[][] Basis(LightMatrix matrix)
    {
        double[][] basis = new double[Cosines][];
        for (int j = 0; j < Cosines; j++)
        {
            basis[j] = new double[matrix.Ticks];
            double sum = 0;
            for (int n = 0; n < matrix.Ticks; n++)
            {
                if (!matrix.Present[n]) continue;
                basis[j][n] = Cos(PI * (j + 1) * (n + 0.5) / matrix.Ticks);
                sum += basis[j][n] * basis[j][n];
            }
            double scale = 1 / Sqrt(Max(sum, 1e-12));
            for (int n = 0; n < matrix.Ticks; n++) basis[j][n] *= scale;
        }
        return basis;
    }

    private static double[][] Reduce(LightMatrix matrix, float[] residual, double[][] basis)
    {
        double[][] reduced = [.. basis.Select(_ => new double[matrix.Lines])];
        // A piece of the lines stays in the cache with its sums for all cosines while the ticks pass once.
        Parallel.For(0, (matrix.Lines + LinesAtOnce - 1) / LinesAtOnce, piece =>
        {
            int first = piece * LinesAtOnce, count = Min(LinesAtOnce, matrix.Lines - first);
            for (int n = 0; n < matrix.Ticks; n++)
            {
                if (!matrix.Present[n]) continue;
                ReadOnlySpan<float> row = residual.AsSpan(n * matrix.Lines + first, count);
                for (int j = 0; j < Cosines; j++) RowKernel.AddScaled(reduced[j].AsSpan(first, count), basis[j][n], row);
            }
        });
        return reduced;
    }

    private static Complex[] Response(LightMatrix matrix, double[][] basis, double x)
    {
        double centre = (matrix.Ticks - 1) / 2.0;
        var response = new Complex[Cosines];
        for (int n = 0; n < matrix.Ticks; n++)
        {
            Complex turn = Complex.FromPolarCoordinates(1, 2 * PI * x * (n - centre));
            for (int j = 0; j < Cosines; j++) response[j] += basis[j][n] * turn;
        }
        return response;
    }

    /// <summary>For each weighted slow cosine the least-squares z, times how well it is determined, of Re(z·exp(i2πνr)); cos and sin are taken free of their means, since the data's is gone.</summary>
    private static (Complex[] Z, double Determined) BandTransforms(float[][] weightedParts, double nu, double[] weights)
    {
        int lines = weights.Length;
        double centre = (lines - 1) / 2.0;
        double sumW = 0, c1 = 0, s1 = 0, cc = 0, ss = 0, cs = 0;
        (double turnSin, double turnCos) = SinCos(2 * PI * nu);
        (double s, double c) = SinCos(-2 * PI * nu * centre);
        float[] cosine = new float[lines], sine = new float[lines];
        for (int r = 0; r < lines; r++)
        {
            double w = weights[r];
            sumW += w;
            c1 += w * c;
            s1 += w * s;
            cc += w * c * c;
            ss += w * s * s;
            cs += w * c * s;
            (cosine[r], sine[r]) = ((float)c, (float)s);
            (c, s) = (c * turnCos - s * turnSin, s * turnCos + c * turnSin);
        }
        cc -= c1 * c1 / sumW;
        ss -= s1 * s1 / sumW;
        cs -= c1 * s1 / sumW;
        var z = new Complex[weightedParts.Length];
        double determinant = cc * ss - cs * cs;
        if (determinant < 1e-3 * sumW * sumW * 0.25) return (z, 0);
        // Weighted by how well it is determined, so that powers at all ν share one noise level.
        double determined = Sqrt(Sqrt(determinant));
        for (int j = 0; j < z.Length; j++)
        {
            (double yc, double ys) = RowKernel.Dots(weightedParts[j], cosine, sine);
            z[j] = new Complex((yc * ss - ys * cs) / determinant, -(ys * cc - yc * cs) / determinant) * determined;
        }
        return (z, determined);
    }

    private static void RemoveMean(double[] part, double[] weights)
    {
        double sum = 0, sumW = 0;
        for (int r = 0; r < part.Length; r++)
        {
            sum += weights[r] * part[r];
            sumW += weights[r];
        }
        for (int r = 0; r < part.Length; r++) part[r] -= sum / sumW;
    }
}
