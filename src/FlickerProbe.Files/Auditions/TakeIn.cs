using System.Globalization;
using static System.Math;

namespace FlickerProbe.Files.Auditions;

/// <summary>How sure a match is.</summary>
public enum MatchState
{
    /// <summary>The file is in its place under its name.</summary>
    InPlace,
    /// <summary>One clip fits, no other assignment comes near.</summary>
    Matched,
    /// <summary>Several clips fit, or none does: left for a person.</summary>
    Open,
}

/// <summary>A clip that the audition expects and what was found for it.</summary>
/// <param name="Slot">What is expected.</param>
/// <param name="State">How sure the match is.</param>
/// <param name="Clip">The clip; null when open.</param>
/// <param name="Reason">Why, in a few words.</param>
/// <param name="Others">Clips that might be meant where the match is open.</param>
public sealed record TakeMatch(TakeSlot Slot, MatchState State, TakeInClip? Clip, string Reason, IReadOnlyList<TakeInClip> Others);

/// <summary>The whole match.</summary>
/// <param name="Matches">One entry for each expected clip, in the order of shooting.</param>
/// <param name="Left">Clips that belong to none.</param>
/// <param name="OrderedBy">What told the order of shooting, in words.</param>
public sealed record TakeInTable(IReadOnlyList<TakeMatch> Matches, IReadOnlyList<TakeInClip> Left, string OrderedBy);

/// <summary>Matches the clips of a folder to the takes that an audition file expects.</summary>
/// <remarks>
/// The takes in their planned order and the clips in the order of recording are aligned as two rows in which either may have gaps, by dynamic
/// programming (Needleman and Wunsch, Journal of Molecular Biology 48, 443–453, 1970). A pair scores by name, rate and length; a wrong rate or too
/// short a clip can't be a pair. A match is only accepted when the best alignment without that pair is clearly worse.
/// </remarks>
public static class TakeIn
{
    private const double GapCost = 1, RateKnown = 1, NameWords = 3, SameStem = 20;

    /// <summary>The best alignment must lose this much without a pair for that pair to be accepted: more than one gap on each side is worth.</summary>
    private const double Clear = 1.5;

    /// <summary>Matches.</summary>
    /// <param name="slots">What is expected, in the order of shooting.</param>
    /// <param name="clips">What was found.</param>
    public static TakeInTable Match(IReadOnlyList<TakeSlot> slots, IReadOnlyList<TakeInClip> clips)
    {
        TakeSlot[] wanted = [.. slots.Where(s => !s.IsThere)];
        // A clip that stands under an expected name is taken.
        TakeInClip[] free = [.. clips.Where(c => !slots.Any(s => s.IsThere && s.Name == c.Name))];
        (TakeInClip[] ordered, string orderedBy) = InOrder(free);
        double?[,] scores = new double?[wanted.Length, ordered.Length];
        for (int s = 0; s < wanted.Length; s++)
        {
            for (int c = 0; c < ordered.Length; c++) scores[s, c] = Score(wanted[s], ordered[c]);
        }
        (double best, int[] partner) = Align(scores, null);
        var matches = new Dictionary<TakeSlot, TakeMatch>();
        for (int s = 0; s < wanted.Length; s++)
        {
            TakeInClip[] possible = [.. ordered.Where((_, c) => scores[s, c] is not null)];
            if (partner[s] < 0)
            {
                matches[wanted[s]] = new TakeMatch(wanted[s], MatchState.Open, null, possible.Length == 0 ? WhyNone(wanted[s], ordered) : "no clip is left for it in the order of recording", possible);
                continue;
            }
            double loss = best - Align(scores, (s, partner[s])).Total;
            TakeInClip clip = ordered[partner[s]];
            matches[wanted[s]] = loss >= Clear
                ? new TakeMatch(wanted[s], MatchState.Matched, clip, Why(wanted[s], clip, orderedBy), [])
                : new TakeMatch(wanted[s], MatchState.Open, null, "several clips fit equally well", possible);
        }
        TakeMatch[] all = [.. slots.Select(s => s.IsThere ? new TakeMatch(s, MatchState.InPlace, clips.FirstOrDefault(c => c.Name == s.Name), "a file of that name is there", []) : matches[s])];
        return new TakeInTable(all, [.. ordered.Where(c => all.All(m => m.Clip != c))], orderedBy);
    }

    // Null: can't be.
    private static double? Score(TakeSlot slot, TakeInClip clip)
    {
        if (slot.Rate is not null && clip.Rate is not null && slot.Rate != clip.Rate) return null;
        if (clip.Seconds is { } seconds && seconds < slot.ShortestSeconds) return null;
        string stem = Stem(slot.Name), name = Stem(clip.Name);
        if (stem == name) return SameStem;
        return 1 + (slot.Rate is not null && clip.Rate is not null ? RateKnown : 0) + NameWords * CommonWords($"{stem} {slot.For}", name);
    }

    // Share of the clip's own words, numbers left out, that the slot's name or fixture has too.
    private static double CommonWords(string slot, string clip)
    {
        string[] ours = Words(slot), theirs = Words(clip);
        return theirs.Length == 0 ? 0 : theirs.Count(w => ours.Contains(w)) / (double)theirs.Length;
    }

    private static string[] Words(string text) => [.. text.ToLowerInvariant().Split([' ', '-', '_', '.', '/', '(', ')'], StringSplitOptions.RemoveEmptyEntries).Where(w => !w.All(char.IsAsciiDigit))];

    private static string Stem(string name) => Path.GetFileNameWithoutExtension(name).ToLowerInvariant();

    // Total score of the best alignment, and each slot's clip or −1.
    private static (double Total, int[] Partner) Align(double?[,] scores, (int Slot, int Clip)? without)
    {
        int slots = scores.GetLength(0), clips = scores.GetLength(1);
        double[,] total = new double[slots + 1, clips + 1];
        for (int s = 1; s <= slots; s++) total[s, 0] = -GapCost * s;
        for (int c = 1; c <= clips; c++) total[0, c] = 0; // spare clips cost nothing: false starts happen
        double Pair(int s, int c) => scores[s, c] is { } score && without != (s, c) ? score : double.NegativeInfinity;
        for (int s = 1; s <= slots; s++)
        {
            for (int c = 1; c <= clips; c++)
                total[s, c] = Max(total[s - 1, c - 1] + Pair(s - 1, c - 1), Max(total[s - 1, c] - GapCost, total[s, c - 1]));
        }
        int[] partner = new int[slots];
        Array.Fill(partner, -1);
        for (int s = slots, c = clips; s > 0 && c > 0;)
        {
            if (total[s, c] == total[s - 1, c - 1] + Pair(s - 1, c - 1)) partner[--s] = --c;
            else if (total[s, c] == total[s, c - 1]) c--;
            else s--;
        }
        return (total[slots, clips], partner);
    }

    // One clock for all or none: cameras' tags and files' times don't compare. Copying changes file times, but camera names count up.
    private static (TakeInClip[] Ordered, string By) InOrder(TakeInClip[] clips)
    {
        if (clips.All(c => c.RecordedAt is not null) && clips.Select(c => c.RecordedAt).Distinct().Count() == clips.Length)
            return ([.. clips.OrderBy(c => c.RecordedAt)], "the recording times in the clips");
        if (clips.Length > 0 && clips.Select(c => Counted(c.Name).Prefix).Distinct().Count() == 1 && clips.All(c => Counted(c.Name).Number is not null))
            return ([.. clips.OrderBy(c => Counted(c.Name).Number)], "the numbers in the clips' names");
        return ([.. clips.OrderBy(c => c.FileTime).ThenBy(c => c.Name, StringComparer.Ordinal)], "the times of the files");
    }

    private static (string Prefix, long? Number) Counted(string name)
    {
        string stem = Path.GetFileNameWithoutExtension(name), prefix = stem.TrimEnd('0', '1', '2', '3', '4', '5', '6', '7', '8', '9');
        return (prefix, long.TryParse(stem[prefix.Length..], NumberStyles.None, CultureInfo.InvariantCulture, out long number) ? number : null);
    }

    private static string Why(TakeSlot slot, TakeInClip clip, string orderedBy)
    {
        if (Stem(slot.Name) == Stem(clip.Name)) return "same name";
        var parts = new List<string> { $"order by {orderedBy}" };
        if (slot.Rate is not null && clip.Rate is not null) parts.Add($"{clip.Rate.ToShortText()} fps");
        if (clip.Seconds is { } seconds) parts.Add(string.Create(CultureInfo.InvariantCulture, $"{seconds:0} s long"));
        if (CommonWords($"{Stem(slot.Name)} {slot.For}", Stem(clip.Name)) > 0) parts.Add("name");
        return string.Join(", ", parts);
    }

    private static string WhyNone(TakeSlot slot, TakeInClip[] clips)
    {
        if (clips.Length == 0) return "no clip is left";
        if (slot.Rate is not null && clips.All(c => c.Rate is not null && c.Rate != slot.Rate)) return $"no clip of {slot.Rate.ToShortText()} fps is left";
        return string.Create(CultureInfo.InvariantCulture, $"no clip of the right rate is {slot.ShortestSeconds:0} s long");
    }
}
