using System.Numerics;
using FlickerProbe.Footage;
using static System.FormattableString;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Frames that are missing although the time stamps run evenly, told by the bands of the strongest tone: they jump there.</summary>
/// <remarks>
/// From frame to frame the bands of a steady light move on by the same share of a cycle, its alias. Where k frames were lost and the rest was
/// stamped anew they move on by 1 + k times that, for good. The bands' phase in each frame comes from a least-squares fit of one cosine along the
/// lines; it is followed with a first-order loop. Nothing is put right unless every jump is such a multiple and the tone stands out
/// more afterwards. A beat that hardly moves shows no jump and suffers none.
/// </remarks>
internal static class MissingFrames
{
    private const int FewestTicks = 24, FewestLines = 8, MostMissingAtOnce = 4, FramesToBeSure = 3;

    /// <summary>Phase may stray so far from what is expected, cycles.</summary>
    private const double Stray = 0.08;

    /// <summary>Beats of fewer cycles a frame than this show no jump.</summary>
    private const double SlowestAlias = 0.02;

    private static readonly double[] FewBands = [0.25, 0.35, 0.5, 0.65, 0.8, 1];

    /// <summary>So many times higher must the tone stand when its jumps are put right.</summary>
    private const double Gain = 1.01;

    /// <summary>The clock with the gaps opened; null where nothing is known to be missing.</summary>
    public static SensorClock? Reopened(SensorClock clock, LightMatrix matrix, FirstLook look)
    {
        if (Opened(matrix, look) is not { } ticks) return null;
        int all = ticks[^1] + 1 - ticks.Length;
        return clock with
        {
            Ticks = ticks,
            Findings =
            [
                .. clock.Findings,
                new Finding(FindingCodes.DroppedFrames, Invariant($"{all} {(all == 1 ? "frame is" : "frames are")} missing although the time stamps are even: the bands jump there; the gaps were left open.")),
            ],
        };
    }

    /// <summary>The ticks of the frames with the missing ones counted; null where none is missing, or the bands do not tell.</summary>
    private static int[]? Opened(LightMatrix matrix, FirstLook look)
    {
        if (matrix.Parities != 1 || matrix.Count != matrix.Ticks || matrix.Ticks < FewestTicks || matrix.Lines < FewestLines) return null;
        if (ToneSearch.HighestPlace(look.Spectrum, look.Floor, matrix) is not { Nu: var found }) return null;
        // The spectrum can't place less than one band in the region: there the amplitude should stay the same whatever the phase.
        IEnumerable<double> places = found * matrix.Lines >= 1 ? [found] : FewBands.Select(b => b / matrix.Lines).Append(found).Where(nu => nu > 0);
        Complex[] bands = places.Select(nu => Bands(matrix, nu)).MinBy(Unevenness)!;
        double[] steps = [.. bands.Zip(bands.Skip(1), (a, b) => (b * Complex.Conjugate(a)).Phase / (2 * PI))];
        double usual = Usual(steps);
        if (Abs(usual) < SlowestAlias || steps.Count(s => Abs(ToneSearch.Wrap(s - usual)) < Stray) < 0.8 * steps.Length) return null;

        int[] opened = [.. Enumerable.Range(0, bands.Length)];
        int gaps = 0;
        double phase = bands[0].Phase / (2 * PI), alias = usual;
        for (int n = 1; n < bands.Length; n++)
        {
            double expected = phase + alias, off = Off(bands[n], expected);
            if (Abs(off) < Stray)
            {
                phase = expected + 0.3 * off;
                alias += 0.02 * off;
                continue;
            }
            phase = expected;
            // One frame may stray for another reason; a jump stays.
            int sure = Min(FramesToBeSure, bands.Length - n);
            double[] later = [.. Enumerable.Range(0, sure).Select(i => Off(bands[n + i], expected + i * alias))];
            if (Array.Exists(later, l => Abs(ToneSearch.Wrap(l - off)) > Stray)) continue;
            int lost = Enumerable.Range(1, MostMissingAtOnce).FirstOrDefault(k => Abs(ToneSearch.Wrap(off - k * alias)) < Stray);
            if (lost == 0) return null;
            for (int after = n; after < opened.Length; after++) opened[after] += lost;
            gaps++;
            phase = expected + off;
        }
        if (gaps == 0 || gaps > bands.Length / 10) return null;
        return Height(bands, opened, usual) > Gain * Height(bands, [.. Enumerable.Range(0, bands.Length)], usual) ? opened : null;
    }

    private static double Unevenness(Complex[] bands)
    {
        double mean = bands.Average(b => b.Magnitude);
        return bands.Average(b => (b.Magnitude - mean) * (b.Magnitude - mean)) / (mean * mean);
    }

    private static double Off(Complex seen, double expectedCycles) => ToneSearch.Wrap(seen.Phase / (2 * PI) - expectedCycles);

    /// <summary>Amplitude and phase of the bands in each tick: a cosine and a sine along the lines by least squares.</summary>
    private static Complex[] Bands(LightMatrix matrix, double nu)
    {
        int lines = matrix.Lines;
        (float[] cosine, float[] sine) = RowKernel.Wave(nu, lines, (lines - 1) / 2.0);
        // About the middle line cosine and sine are orthogonal.
        double cc = RowKernel.Dot(cosine, cosine), ss = RowKernel.Dot(sine, sine);
        return [.. Enumerable.Range(0, matrix.Ticks).Select(n =>
        {
            ReadOnlySpan<float> row = matrix.Relative.AsSpan(n * lines, lines);
            (double c, double s) = RowKernel.Dots(row, cosine, sine);
            return new Complex(c / cc, -s / ss);
        })];
    }

    /// <summary>The step that most others are near to, cycles.</summary>
    private static double Usual(double[] steps)
    {
        const int bins = 64;
        double[] count = new double[bins];
        foreach (double step in steps) count[(int)Floor((step - Floor(step)) * bins) % bins]++;
        int top = Enumerable.Range(0, bins).MaxBy(b => count[(b + bins - 1) % bins] + 2 * count[b] + count[(b + 1) % bins]);
        double middle = (top + 0.5) / bins;
        double[] near = [.. steps.Select(s => ToneSearch.Wrap(s - middle)).Where(s => Abs(s) < Stray)];
        return ToneSearch.Wrap(middle + (near.Length == 0 ? 0 : Order.Median(near)));
    }

    /// <summary>How high the tone stands when the frames lie at these ticks.</summary>
    private static double Height(Complex[] bands, int[] ticks, double alias)
    {
        double cell = 1.0 / (ticks[^1] + 1), highest = 0;
        for (double x = alias - 6 * cell; x <= alias + 6 * cell; x += 0.2 * cell)
        {
            Complex sum = Complex.Zero;
            for (int n = 0; n < bands.Length; n++) sum += bands[n] * Complex.FromPolarCoordinates(1, -2 * PI * x * ticks[n]);
            highest = Max(highest, sum.Magnitude);
        }
        return highest;
    }
}
