using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Ties overtones to their fundamental and adds those too faint for a blind search but plain at the place where they must be.</summary>
internal static class Overtones
{
    /// <summary>Noise powers an overtone at a known place must reach: one place is tried, not a plane of them; false alarm e⁻⁶ a place.</summary>
    private const double PowerRatioAtKnownPlace = 6;

    /// <summary>Overtones missing in a row before the search up the series ends.</summary>
    private const int MissesToStop = 8;

    /// <summary>Overtones and sums (both multiples together) up to these are tried where a stronger tone hides them; sums are looked for up to this multiple of either.</summary>
    private const int LowestOvertones = 4, LowestSums = 3, HighestInSum = 3;

    /// <summary>The list for the last fit: fundamentals first, their overtones tied, everything else free.</summary>
    public static List<PlaneTone> TieAndExtend(
        ToneFit fit, OvertoneGrouping.Grouping grouping, PlaneSpectrum spectrum, NoiseFloor floor, LightMatrix matrix)
    {
        var list = new List<PlaneTone>();
        int[] leads = [.. grouping.Groups.Select(_ => -1)];
        for (int g = 0; g < leads.Length; g++)
        {
            OvertoneGrouping.ToneGroup group = grouping.Groups[g];
            int fundamental = group.Members.FindIndex(m => m.Multiple == 1);
            if (fundamental < 0)
            {
                list.AddRange(group.Members.Select(m => fit.Tones[m.Tone] with { TiedTo = -1 }));
                continue;
            }
            PlaneTone lead = Turned(fit.Tones[group.Members[fundamental].Tone], group.Members[fundamental].Mirrored);
            int leadIndex = leads[g] = list.Count;
            list.Add(lead with { TiedTo = -1, Multiple = 1 });
            var taken = new HashSet<int> { 1 };
            foreach ((int tone, int multiple, bool mirrored) in group.Members)
            {
                if (!taken.Add(multiple)) continue;
                list.Add(At(lead, multiple, leadIndex, Turned(fit.Tones[tone], mirrored).Z));
            }
            // A gap inside a series is one that its neighbours cover, or a null of the pulse: the fit tells.
            int highestTried = taken.Count >= OvertoneGrouping.PulseSeries ? taken.Max() : LowestOvertones, misses = 0;
            for (int multiple = 2; multiple <= OvertoneGrouping.HighestOvertone && misses < MissesToStop; multiple++)
            {
                if (taken.Contains(multiple))
                {
                    misses = 0;
                    continue;
                }
                PlaneTone guess = At(lead, multiple, leadIndex, Complex.Zero);
                if (MayBe(guess, multiple <= highestTried))
                {
                    list.Add(guess);
                    misses = 0;
                }
                else
                {
                    misses++;
                }
            }
        }
        list.AddRange(grouping.Combinations.Select(c => fit.Tones[c.Tone] with { TiedTo = -1 }));
        foreach ((int first, int second) in grouping.Combinations.Select(c => (c.FirstGroup, c.SecondGroup)).Distinct().ToList())
        {
            if (leads[first] < 0 || leads[second] < 0) continue;
            // Where one sum was found, light works on light: the difference is there as well, and so may others be.
            foreach (PlaneTone guess in Sums(list, leads[first], leads[second]))
            {
                if (ToneFit.Moves(guess, matrix) && MayBe(guess, guess.Multiple + Abs(guess.AlsoMultiple) <= LowestSums)) list.Add(guess);
            }
        }
        return list;

        // Within the reach of a stronger tone the search can't tell; a low overtone or sum is then simply tried in the fit.
        bool MayBe(PlaneTone guess, bool low)
        {
            PlaneTone nearest = list.Concat(fit.Tones).MinBy(t => ToneSearch.CellsApart(matrix, t, guess))!;
            return ToneFit.CanTellApart(nearest, guess, matrix)
                && (ToneSearch.CellsApart(matrix, nearest, guess) < ToneSearch.OneToneCells ? low : Height(spectrum, floor, guess, matrix) > PowerRatioAtKnownPlace);
        }
    }

    /// <summary>Every sum and difference of low multiples of two fundamentals, tied to both.</summary>
    private static PlaneTone[] Sums(List<PlaneTone> list, int first, int second)
    {
        PlaneTone one = list[first], other = list[second];
        return
        [
            .. from a in Enumerable.Range(1, HighestInSum)
               from b in Enumerable.Range(-HighestInSum, 2 * HighestInSum + 1)
               where b != 0
               select new PlaneTone(a * one.X + b * other.X, a * one.Nu + b * other.Nu, Complex.Zero) { TiedTo = first, Multiple = a, AlsoTiedTo = second, AlsoMultiple = b },
        ];
    }

    private static PlaneTone At(PlaneTone lead, int multiple, int leadIndex, Complex z) =>
        new(lead.X * multiple, lead.Nu * multiple, z) { TiedTo = leadIndex, Multiple = multiple };

    private static PlaneTone Turned(PlaneTone tone, bool mirrored) => mirrored ? tone.Mirrored : tone;

    /// <summary>Power over noise at a place, the nearest bin; 0 where the place lies too near standing still to be judged in this spectrum.</summary>
    private static double Height(PlaneSpectrum spectrum, NoiseFloor floor, PlaneTone tone, LightMatrix matrix)
    {
        if (Abs(matrix.Wrapped(tone.X, tone.Nu).X) * matrix.Ticks < 2) return 0;
        (int k, int l) = PlaneSpectrum.BinOf(tone, matrix, spectrum.AliasBins, spectrum.BandBins);
        double magnitude = spectrum.At(k, l).Magnitude;
        return magnitude * magnitude / floor.At(k, l);
    }
}
