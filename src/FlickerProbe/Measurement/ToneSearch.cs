using System.Numerics;
using System.Runtime.InteropServices;
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

    /// <summary>Share of a tone from which what stands beside it is one of its own: with bands as fine as its own, and with others.</summary>
    private const double LeastAsFine = 0.2, LeastOtherwiseFine = 0.1;

    /// <summary>Band bins that one processor looks through before it asks for more.</summary>
    private const int BandsAtOnce = 64;

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
        Bars bars = Bars.Of(spectrum, floor, matrix);
        double strongest = 0;
        var rejected = new HashSet<(int, int)>();
        for (int tries = 0; found.Count < most && tries < 4 * most; tries++)
        {
            (int k, int l, bool any) = Highest(spectrum, bars, rejected);
            if (!any) break;
            double magnitude = spectrum.At(k, l).Magnitude;
            if (magnitude < DynamicRange * strongest) break;
            (double x, double nu) = PlaceOf(spectrum, k, l);
            if (found.Exists(t => IsSame(t, x, nu, matrix)) || known.Any(t => IsSame(t, x, nu, matrix) && !StandsBeside(t, x, nu, magnitude, matrix)))
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

    /// <summary>Where the strongest tone that moves stands, in cycles per tick and, 0 or more, per line; null when nothing stands out of the noise.</summary>
    public static (double X, double Nu)? HighestPlace(PlaneSpectrum spectrum, NoiseFloor floor, LightMatrix matrix) =>
        Highest(spectrum, Bars.Of(spectrum, floor, matrix), []) is (int k, int l, true) ? PlaceOf(spectrum, k, l) : null;

    private static (double X, double Nu) PlaceOf(PlaneSpectrum spectrum, int k, int l) => (
        Wrap((k + Offset(spectrum, k, l, alongAlias: true)) / spectrum.AliasBins),
        Max(0, (l + Offset(spectrum, k, l, alongAlias: false)) / spectrum.LineBins));

    /// <summary>Whether a place in the plane lies within the reach of a tone, mirror image included.</summary>
    public static bool IsSame(PlaneTone tone, double x, double nu, LightMatrix matrix)
    {
        double cells = tone.Slow ? 4 : OneToneCells;
        return IsWithin(cells, OneToneCells, matrix, tone, x, nu) || IsWithin(cells, OneToneCells, matrix, tone.Mirrored, x, nu);
    }

    /// <summary>Whether what a fitted tone leaves near itself is a tone of its own: two lights a cell or two apart look like one until the first is fitted.</summary>
    /// <remarks>Drift and steps of exposure make side tones too, but much fainter than the tone they sit beside.</remarks>
    private static bool StandsBeside(PlaneTone tone, double x, double nu, double amplitude, LightMatrix matrix)
    {
        if (tone.Slow || CellsApart(matrix, tone, new PlaneTone(x, nu, default)) <= 1) return false;
        // Drift changes the strength of bands, not how fine they are.
        bool IsAsFine(PlaneTone other) => IsWithin(double.PositiveInfinity, 1, matrix, other, x, nu);
        return amplitude > (IsAsFine(tone) || IsAsFine(tone.Mirrored) ? LeastAsFine : LeastOtherwiseFine) * tone.Amplitude;
    }

    /// <summary>Whether a tone, its mirror image aside, lies this near to a place, in cells along either axis.</summary>
    public static bool IsWithin(double aliasCells, double bandCells, LightMatrix matrix, PlaneTone tone, double x, double nu) =>
        matrix.Wrapped(x - tone.X, nu - tone.Nu) is var (alias, bands) && Abs(alias) * matrix.Ticks < aliasCells && Abs(bands) * matrix.Lines < bandCells;

    /// <summary>Distance of two tones in cells of the plane, along the axis on which they are farther apart; mirror image counted.</summary>
    public static double CellsApart(LightMatrix matrix, PlaneTone a, PlaneTone b)
    {
        double Distance(PlaneTone to) => matrix.Wrapped(a.X - to.X, a.Nu - to.Nu) is var (alias, bands) ? Max(Abs(alias) * matrix.Ticks, Abs(bands) * matrix.Lines) : 0;
        return Min(Distance(b), Distance(b.Mirrored));
    }

    /// <summary>Cycles brought into −½…½.</summary>
    public static double Wrap(double cycles) => cycles - Round(cycles);

    /// <summary>The highest of all bins that stand far enough above their own noise floor.</summary>
    /// <remarks>Height decides, not height over the floor: a very strong tone lifts the floor at its own place, so that the best ratio lies on its flank.</remarks>
    private static (int K, int L, bool Found) Highest(PlaneSpectrum spectrum, Bars bars, HashSet<(int, int)> rejected)
    {
        int pieces = (spectrum.BandBins + BandsAtOnce - 1) / BandsAtOnce;
        var best = new (int K, int L, float Power)[pieces];
        Parallel.For(0, pieces, piece =>
            best[piece] = Highest(spectrum, bars, rejected, piece * BandsAtOnce, Min(spectrum.BandBins, (piece + 1) * BandsAtOnce)));
        (int bestK, int bestL, float power) = best.MaxBy(b => b.Power);
        return (bestK, bestL, power > 0);
    }

    private static (int K, int L, float Power) Highest(PlaneSpectrum spectrum, Bars bars, HashSet<(int, int)> rejected, int fromBand, int toBand)
    {
        (int bestK, int bestL, float best) = (0, 0, 0);
        int lanes = Vector<float>.Count;
        ReadOnlySpan<Vector<float>> byAlias = MemoryMarshal.Cast<float, Vector<float>>(bars.ByAlias);
        for (int l = fromBand; l < toBand; l++)
        {
            ReadOnlySpan<Vector<float>> re = MemoryMarshal.Cast<float, Vector<float>>(spectrum.Real(l)), im = MemoryMarshal.Cast<float, Vector<float>>(spectrum.Imaginary(l));
            Vector<float> bar = Vector.Max(new Vector<float>(best), new Vector<float>(bars.ByBand[l]));
            for (int i = 0; i < re.Length; i++)
            {
                Vector<float> power = re[i] * re[i] + im[i] * im[i];
                if (!Vector.GreaterThanAny(power, Vector.Max(bar, byAlias[i]))) continue;
                for (int lane = 0; lane < lanes; lane++)
                {
                    int k = i * lanes + lane;
                    if (power[lane] <= best || power[lane] < Max(bars.ByAlias[k], bars.ByBand[l])) continue;
                    if (rejected.Count > 0 && rejected.Any(p => Abs(p.Item1 - k) <= 3 && Abs(p.Item2 - l) <= 3)) continue;
                    (bestK, bestL, best) = (k, l, power[lane]);
                    bar = Vector.Max(bar, new Vector<float>(best));
                }
            }
        }
        return (bestK, bestL, best);
    }

    /// <summary>Power a bin must reach, by alias and by band: the higher of both counts. Aliases left to another search can't reach it.</summary>
    private sealed record Bars(float[] ByAlias, float[] ByBand)
    {
        public static Bars Of(PlaneSpectrum spectrum, NoiseFloor floor, LightMatrix matrix)
        {
            double ratioNeeded = PowerRatioNeeded(spectrum);
            // Aliases within two cells of 0 belong to the search for slow beats.
            int guard = (int)Ceiling(2.0 * spectrum.AliasBins / matrix.Ticks);
            float[] byAlias = [.. floor.Profiles.ByAlias.Select(p => (float)(ratioNeeded * p))];
            byAlias.AsSpan(0, guard).Fill(float.PositiveInfinity);
            byAlias.AsSpan(byAlias.Length - guard + 1).Fill(float.PositiveInfinity);
            return new Bars(byAlias, [.. floor.Profiles.ByBand.Select(p => (float)(ratioNeeded * p))]);
        }
    }

    private static double Offset(PlaneSpectrum spectrum, int k, int l, bool alongAlias)
    {
        double Height(int step)
        {
            if (alongAlias) return spectrum.At(((k + step) % spectrum.AliasBins + spectrum.AliasBins) % spectrum.AliasBins, l).Magnitude;
            int band = l + step, mirror = (spectrum.AliasBins - k) % spectrum.AliasBins;
            // A real picture's spectrum mirrors: bin −1 at alias k is the conjugate of bin 1 at −k.
            if (band < 0) return spectrum.At(mirror, -band).Magnitude;
            return band >= spectrum.BandBins ? spectrum.At(mirror, spectrum.LineBins - band).Magnitude : spectrum.At(k, band).Magnitude;
        }
        double below = Log(Max(Height(-1), 1e-300)), here = Log(Max(Height(0), 1e-300)), above = Log(Max(Height(1), 1e-300));
        double bend = 2 * (2 * here - below - above);
        return bend > 0 ? Clamp((above - below) / bend, -0.5, 0.5) : 0;
    }
}
