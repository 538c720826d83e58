using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>From the two clocks to the true frequency: rows give it coarsely, frames finely but up to whole multiples of the rate.</summary>
/// <remarks>
/// A tone with alias α and b bands over the coded height comes from f = ±α + kF with f·T_r = ±b (+ jH when the pattern is finer than the
/// rows). What is known of T_r, from the user, from physics or from other tones of the same take, picks k.
/// </remarks>
internal static class FrequencyCandidates
{
    /// <summary>Fastest readout thought possible for video, seconds. Published times start at 3.7 ms (check values §8); the model allows for faster ones.</summary>
    public const double FastestReadoutSeconds = 1.5e-3;

    /// <summary>Slowest light frequency considered when only the alias speaks, hertz: nothing that lights a stage repeats more slowly.</summary>
    public const double SlowestLightHz = 20;

    /// <summary>Slowest light frequency where rows speak too, hertz: below, changes of level are the camera's or the scene's.</summary>
    public const double SlowestRollingHz = 2;

    /// <summary>Half-widths, in standard deviations, within which a candidate stays.</summary>
    private const double Kept = 3.3;

    /// <summary>Ends the enumeration where everything fits anyway.</summary>
    private const int MostEnumerated = 40_000;

    /// <summary>What is known of the readout: signed range in seconds, several when the direction is open.</summary>
    /// <param name="Low">Lowest signed value.</param>
    /// <param name="High">Highest signed value.</param>
    internal readonly record struct ReadoutRange(double Low, double High);

    /// <summary>One tone (a group's fundamental, or a single tone) to be resolved.</summary>
    /// <param name="AliasHz">Alias in hertz at the tick rate, any sign, that goes with <paramref name="Bands"/> ≥ 0.</param>
    /// <param name="Bands">Bands over the coded height.</param>
    /// <param name="BandsDeviation">Its standard deviation.</param>
    /// <param name="HighestHz">Above this the amplitude seen would need more light than there is.</param>
    /// <param name="HighestFoldedHz">The same for patterns finer than the rows, which only a strongly pulsed light can make visible.</param>
    /// <param name="Plain">Whether it stands out enough to speak for the readout that others must share.</param>
    internal readonly record struct Sighting(double AliasHz, double Bands, double BandsDeviation, double HighestHz, double HighestFoldedHz, bool Plain);

    /// <summary>A frequency that fits, with the readout it needs and how far (in standard deviations) it lies from what is known of it.</summary>
    internal readonly record struct Candidate(double Hertz, double ReadoutLow, double ReadoutHigh, double Distance);

    /// <summary>The ranges of T_r that physics and the user leave.</summary>
    public static ReadoutRange[] Ranges(double? readoutSeconds, double readoutRelativeDeviation, double framePeriodSeconds)
    {
        if (readoutSeconds is { } known)
        {
            double reach = Kept * readoutRelativeDeviation * Abs(known);
            return [new ReadoutRange(known - reach, known + reach)];
        }
        return [new ReadoutRange(FastestReadoutSeconds, framePeriodSeconds), new ReadoutRange(-framePeriodSeconds, -FastestReadoutSeconds)];
    }

    /// <summary>All frequencies that fit each sighting, given the ranges and each other.</summary>
    /// <param name="sightings">The tones.</param>
    /// <param name="ranges">What is known of the readout.</param>
    /// <param name="tickHz">Frames or fields per second.</param>
    /// <param name="linesPerHeight">Lines of one frame or field over the coded height.</param>
    /// <param name="parities">2 where the ticks are fields, which lie half a line apart.</param>
    /// <param name="readoutSeconds">The readout where it is given, signed.</param>
    /// <param name="readoutRelativeDeviation">Its standard deviation, relative.</param>
    public static List<Candidate>[] Resolve(
        IReadOnlyList<Sighting> sightings, ReadoutRange[] ranges, double tickHz, double linesPerHeight, int parities, double? readoutSeconds, double readoutRelativeDeviation)
    {
        List<Candidate>[] all = [.. sightings.Select(s => Enumerate(s, ranges, tickHz, linesPerHeight, parities, readoutSeconds, readoutRelativeDeviation))];
        // All tones of a take share one readout: a candidate stays when every other plain tone has one whose readout overlaps.
        // A readout that is known already says all that the others could.
        bool changed = all.Length > 1 && readoutSeconds is null;
        for (int pass = 0; changed && pass < 4; pass++)
        {
            changed = false;
            for (int i = 0; i < all.Length; i++)
            {
                int before = all[i].Count;
                for (int j = 0; j < all.Length; j++)
                {
                    // A tone without bands fits any readout.
                    if (i == j || all[j].Count == 0 || !sightings[j].Plain || sightings[j].Bands < 3 * sightings[j].BandsDeviation + 0.2) continue;
                    List<Candidate> fitting = all[i].FindAll(c => all[j].Exists(d => d.ReadoutLow <= c.ReadoutHigh && d.ReadoutHigh >= c.ReadoutLow));
                    if (fitting.Count > 0) all[i] = fitting;
                }
                changed |= all[i].Count != before;
            }
        }
        return all;
    }

    /// <summary>So many frequencies of one alias are listed at most: at 20 frames a second all up to the fastest dimmers.</summary>
    public const int MostFromAlias = 4000;

    /// <summary>Frequencies at a global shutter: every one the alias allows.</summary>
    public static List<Candidate> FromAliasAlone(double aliasHz, double tickHz, double highestHz)
    {
        var found = new List<Candidate>();
        for (int k = 0; k * tickHz - Abs(aliasHz) <= highestHz && found.Count < MostFromAlias; k++)
        {
            foreach (double f in new[] { k * tickHz - Abs(aliasHz), k * tickHz + Abs(aliasHz) })
            {
                if (f >= SlowestLightHz && f <= highestHz) found.Add(new Candidate(f, 0, 0, 0));
            }
        }
        return [.. found.DistinctBy(c => Round(c.Hertz, 9)).OrderBy(c => c.Hertz)];
    }

    /// <summary>Whether a frequency is that of rectified mains, 100 or 120 Hz, within what grids allow themselves.</summary>
    /// <remarks>A light far above the row rate would have to meet both clocks by chance to look so: a few in a thousand along the alias times a few
    /// in a thousand along the rows. Grid tolerance: standard range of Continental Europe ± 50 mHz and of the Eastern Interconnection, times two.</remarks>
    public static bool IsMainsRipple(double hertz) => Abs(hertz - 100) < 0.35 || Abs(hertz - 120) < 0.35;

    /// <summary>Where a blurred band count leaves mains ripple and its neighbours one frame rate away, the neighbours would have to be lights that
    /// pulse between these rates, which dimmers avoid because the eye sees them. Common practice, no source.</summary>
    private const double SlowestNeighbourHz = 60, FastestNeighbourHz = 180;

    private static List<Candidate> Enumerate(
        Sighting s, ReadoutRange[] ranges, double tickHz, double linesPerHeight, int parities, double? readoutSeconds, double readoutRelativeDeviation)
    {
        var found = new List<Candidate>();
        double spread = Kept * s.BandsDeviation;
        // Patterns finer than the rows begin about here.
        double lowestFolded = 0.5 * linesPerHeight / ranges.Max(r => Max(Abs(r.Low), Abs(r.High)));
        foreach (ReadoutRange range in ranges)
        {
            double direction = range.Low + range.High > 0 ? 1 : -1;
            double fastest = Max(Abs(range.Low), Abs(range.High)), slowest = Min(Abs(range.Low), Abs(range.High));
            for (int fold = 0; fold * linesPerHeight <= s.HighestFoldedHz * fastest + s.Bands; fold++)
            {
                foreach (int sign in new[] { 1, -1 })
                {
                    double bands = fold * linesPerHeight + sign * s.Bands;
                    if (bands + spread <= 0 || (fold == 0 && sign < 0 && s.Bands > spread)) continue;
                    double lowest = Max(SlowestRollingHz, (bands - spread) / fastest);
                    double highest = Min(fold == 0 ? s.HighestHz : s.HighestFoldedHz, (bands + spread) / slowest);
                    // Top to bottom, the tone with ν > 0 has the alias of +f; bottom to top, that of −f.
                    // Of patterns finer than the rows every whole cycle a line turns every other field by half a cycle.
                    double alias = direction * sign * s.AliasHz + (parities > 1 && fold % 2 == 1 ? tickHz / 2 : 0);
                    for (double k = Ceiling((lowest - alias) / tickHz); k * tickHz + alias <= highest && found.Count < MostEnumerated; k++)
                    {
                        double f = k * tickHz + alias;
                        double low = Max(0, bands - spread) / f, high = (bands + spread) / f;
                        if (high < slowest || low > fastest) continue;
                        double distance = readoutSeconds is { } known
                            ? Abs(bands / f - Abs(known)) / Max(1e-12, double.Hypot(s.BandsDeviation / f, readoutRelativeDeviation * Abs(known)))
                            : 0;
                        if (distance > Kept) continue;
                        found.Add(direction > 0 ? new Candidate(f, low, high, distance) : new Candidate(f, -high, -low, distance));
                    }
                }
            }
        }
        if (found.Exists(c => IsMainsRipple(c.Hertz)))
        {
            found.RemoveAll(c => !IsMainsRipple(c.Hertz) && (c.Hertz > lowestFolded || (readoutSeconds is not null && c.Hertz is > SlowestNeighbourHz and < FastestNeighbourHz)));
        }
        return [.. found.OrderBy(c => c.Distance).DistinctBy(c => Round(c.Hertz, 6)).OrderBy(c => c.Hertz)];
    }
}
