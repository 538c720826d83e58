namespace FlickerProbe.Room;

/// <summary>Counts general flashes in the brightness of a picture over time.</summary>
/// <remarks>
/// Web Content Accessibility Guidelines 2.x, "general flash and red flash thresholds": a general flash is a pair of opposing changes in relative
/// luminance of 10 % or more of the maximum where the darker image is under 0.80; more than three in any one-second period fail when the area is large.
/// Area and red flashes are not looked at here.
/// </remarks>
public static class GeneralFlash
{
    /// <summary>Smallest change of relative luminance that counts.</summary>
    public const double SmallestChange = 0.10;

    /// <summary>The darker image must lie under this relative luminance.</summary>
    public const double DarkerUnder = 0.80;

    /// <summary>Most opposing changes in one second that are still fine: three pairs.</summary>
    public const int MostChanges = 6;

    /// <summary>Most opposing changes of luminance within any one-second period.</summary>
    /// <param name="seconds">Time of each sample, ascending.</param>
    /// <param name="relativeLuminance">Relative luminance 0…1 of each sample.</param>
    public static int MostChangesInOneSecond(ReadOnlySpan<double> seconds, ReadOnlySpan<double> relativeLuminance)
    {
        List<double> changes = [];
        double lowest = double.PositiveInfinity, highest = double.NegativeInfinity;
        int direction = 0;
        for (int i = 0; i < relativeLuminance.Length; i++)
        {
            double value = relativeLuminance[i];
            lowest = Math.Min(lowest, value);
            highest = Math.Max(highest, value);
            // A hair under the line is on it: code values land there after rounding.
            bool rises = direction <= 0 && value - lowest >= SmallestChange - 1e-9 && lowest < DarkerUnder;
            bool falls = direction >= 0 && highest - value >= SmallestChange - 1e-9 && value < DarkerUnder;
            if (!rises && !falls) continue;
            changes.Add(seconds[i]);
            direction = rises ? 1 : -1;
            (lowest, highest) = (value, value);
        }

        int most = 0;
        for (int first = 0, last = 0; last < changes.Count; last++)
        {
            while (changes[last] - changes[first] >= 1) first++;
            most = Math.Max(most, last - first + 1);
        }
        return most;
    }

    /// <summary>Whether there are more than three flashes in some second.</summary>
    public static bool IsHazard(ReadOnlySpan<double> seconds, ReadOnlySpan<double> relativeLuminance) =>
        MostChangesInOneSecond(seconds, relativeLuminance) > MostChanges;
}
