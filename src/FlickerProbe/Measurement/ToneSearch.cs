using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Finds peaks of a plane spectrum above the local noise floor, strongest first, taking each out before looking for the next.</summary>
/// <remarks>
/// Iterative subtraction: Högbom, "Aperture synthesis with a non-regular distribution of interferometer baselines",
/// Astron. Astrophys. Suppl. 15 (1974). Sub-bin place: quadratic on ln|Z|, bias at most 0.016 bins for the Hann window
/// (Donadio's note on interpolators; recomputed in the tests); the least-squares fit that follows removes it.
/// </remarks>
internal static class ToneSearch
{
    /// <summary>Chance of one false peak in a whole plane of white noise.</summary>
    public const double FalseAlarm = 1e-3;

    /// <summary>Peaks this far below the round's strongest wait for the next round: by then its leakage is gone.</summary>
    private const double DynamicRange = 0.02;

    /// <summary>Two tones nearer than this (in cells of the plane, along both axes) are one.</summary>
    public const double OneToneCells = 3;

    /// <summary>How many times the noise power a peak must reach to be believed.</summary>
    public static double PowerRatioNeeded(PlaneSpectrum spectrum) =>
        Log(Max(10, (double)spectrum.AliasBins * spectrum.BandBins * spectrum.CellsPerBin)) - Log(FalseAlarm);

    /// <summary>Finds tones in a residual spectrum, which is changed by it.</summary>
    /// <param name="spectrum">Spectrum of what is not yet explained.</param>
    /// <param name="floor">Its noise floor.</param>
    /// <param name="matrix">Shape of the plane.</param>
    /// <param name="known">Tones already in the model; their surroundings are left alone.</param>
    /// <param name="most">Most tones to answer.</param>
    public static List<PlaneTone> Find(PlaneSpectrum spectrum, NoiseFloor floor, LightMatrix matrix, IReadOnlyList<PlaneTone> known, int most)
    {
        var found = new List<PlaneTone>();
        double ratioNeeded = PowerRatioNeeded(spectrum);
        // Aliases within two cells of 0 belong to the search for slow beats.
        int guard = (int)Ceiling(2.0 * spectrum.AliasBins / matrix.Ticks);
        double strongest = 0;
        var rejected = new HashSet<(int, int)>();
        for (int tries = 0; found.Count < most && tries < 4 * most; tries++)
        {
            (int k, int l, bool any) = Highest(spectrum, floor, guard, ratioNeeded, rejected);
            if (!any) break;
            double magnitude = spectrum.Column(l)[k].Magnitude;
            if (magnitude < DynamicRange * strongest) break;
            double x = Wrap((k + Offset(spectrum, k, l, alongAlias: true)) / spectrum.AliasBins);
            double nu = Max(0, (l + Offset(spectrum, k, l, alongAlias: false)) / spectrum.LineBins);
            if (known.Concat(found).Any(t => IsSame(t, x, nu, matrix)))
            {
                rejected.Add((k, l));
                continue;
            }
            strongest = Max(strongest, magnitude);
            int reach = magnitude * magnitude > 1e4 * floor.At(k, l) ? Max(spectrum.AliasBins, spectrum.LineBins) : 24;
            Complex z = spectrum.TakeOut(x, nu, reach);
            double phase = 2 * PI * (x * (matrix.Ticks - 1) / 2.0 + nu * (matrix.Lines - 1) / 2.0);
            found.Add(new PlaneTone(x, nu, z * Complex.FromPolarCoordinates(1, phase)));
        }
        return found;
    }

    /// <summary>Whether a place in the plane lies within the reach of a tone, mirror image included.</summary>
    public static bool IsSame(PlaneTone tone, double x, double nu, LightMatrix matrix)
    {
        double cells = tone.Slow ? 4 : OneToneCells;
        bool Near(double tx, double tnu) =>
            Abs(Wrap(x - tx)) * matrix.Ticks < cells && Abs(Wrap(nu - tnu)) * matrix.Lines < OneToneCells;
        return Near(tone.X, tone.Nu) || Near(-tone.X, -tone.Nu);
    }

    /// <summary>Cycles brought into −½…½.</summary>
    public static double Wrap(double cycles) => cycles - Round(cycles);

    /// <summary>The highest of all bins that stand far enough above their own noise floor.</summary>
    /// <remarks>Height decides, not height over the floor: a very strong tone lifts the floor at its own place, so that the best ratio lies on its flank.</remarks>
    private static (int K, int L, bool Found) Highest(PlaneSpectrum spectrum, NoiseFloor floor, int guard, double ratioNeeded, HashSet<(int, int)> rejected)
    {
        (int bestK, int bestL, double best) = (0, 0, 0);
        for (int l = 0; l < spectrum.BandBins; l++)
        {
            Complex[] column = spectrum.Column(l);
            for (int k = guard; k <= spectrum.AliasBins - guard; k++)
            {
                double power = column[k].Real * column[k].Real + column[k].Imaginary * column[k].Imaginary;
                if (power <= best || power < ratioNeeded * floor.At(k, l)) continue;
                if (rejected.Count > 0 && rejected.Any(p => Abs(p.Item1 - k) <= 3 && Abs(p.Item2 - l) <= 3)) continue;
                (bestK, bestL, best) = (k, l, power);
            }
        }
        return (bestK, bestL, best > 0);
    }

    private static double Offset(PlaneSpectrum spectrum, int k, int l, bool alongAlias)
    {
        Complex At(int step)
        {
            if (alongAlias) return spectrum.Column(l)[((k + step) % spectrum.AliasBins + spectrum.AliasBins) % spectrum.AliasBins];
            int band = l + step;
            // A real picture's spectrum mirrors: bin −1 at alias k is the conjugate of bin 1 at −k.
            if (band < 0) return Complex.Conjugate(spectrum.Column(-band)[(spectrum.AliasBins - k) % spectrum.AliasBins]);
            if (band >= spectrum.BandBins) return Complex.Conjugate(spectrum.Column(spectrum.LineBins - band)[(spectrum.AliasBins - k) % spectrum.AliasBins]);
            return spectrum.Column(band)[k];
        }
        double below = Log(Max(At(-1).Magnitude, 1e-300)), here = Log(Max(At(0).Magnitude, 1e-300)), above = Log(Max(At(1).Magnitude, 1e-300));
        double bend = 2 * (2 * here - below - above);
        return bend > 0 ? Clamp((above - below) / bend, -0.5, 0.5) : 0;
    }
}
