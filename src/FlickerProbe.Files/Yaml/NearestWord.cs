namespace FlickerProbe.Files.Yaml;

/// <summary>Finds the known word that a mistyped one most likely meant.</summary>
public static class NearestWord
{
    /// <summary>The known word with the smallest edit distance, or null when even that is too far to be a slip of the fingers.</summary>
    /// <remarks>Distance: Levenshtein 1966 (insertions, deletions, substitutions), letter case ignored.
    /// Too far: more than two fifths of the longer word, and more than two letters.</remarks>
    public static string? To(string word, IReadOnlyCollection<string> known)
    {
        string? best = known.MinBy(candidate => Distance(word, candidate));
        if (best is null) return null;
        int distance = Distance(word, best);
        return distance <= 2 || distance * 5 <= Math.Max(word.Length, best.Length) * 2 ? best : null;
    }

    /// <summary>Edits that turn one word into the other.</summary>
    public static int Distance(string left, string right)
    {
        // Long words are no slip of a known one; the table would only cost time.
        if (Math.Abs(left.Length - right.Length) > 40) return Math.Abs(left.Length - right.Length);
        string a = left.ToLowerInvariant(), b = right.ToLowerInvariant();
        int[] above = [.. Enumerable.Range(0, b.Length + 1)];
        for (int i = 1; i <= a.Length; i++)
        {
            int[] row = new int[b.Length + 1];
            row[0] = i;
            for (int j = 1; j <= b.Length; j++)
                row[j] = Math.Min(Math.Min(row[j - 1], above[j]) + 1, above[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1));
            above = row;
        }
        return above[b.Length];
    }
}
