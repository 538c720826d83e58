namespace FlickerProbe.Robustness.Corpus;

/// <summary>Clips cut short and with bytes changed: what a bad card, a broken copy or a hostile hand does.</summary>
internal static class DamagedClips
{
    /// <summary>The arguments of an ordinary call on a clip.</summary>
    public static string[] Call(string folder, string clip, params string[] more) =>
        ["measure", clip, "--shutter", "1/1000", "--readout", "16ms", "--json", Path.Combine(folder, Ending.OutName, "result.json"), .. more];

    /// <summary>A stated region: the clip is read once instead of twice.</summary>
    private static readonly string[] Stated = ["--region", "8,8,128,112"];

    private static string[] Written(string folder, SeedClip seed, byte[] bytes, params string[] more)
    {
        string clip = Path.Combine(folder, "clip" + seed.Extension);
        File.WriteAllBytes(clip, bytes);
        return Call(folder, clip, more);
    }

    /// <summary>Every seed as it is; one in eight with a whole report.</summary>
    public static IEnumerable<Trial> Whole(IReadOnlyList<SeedClip> seeds) => seeds.Select((seed, n) =>
        new Trial("whole, every container and codec", seed.Name, Bound.NeverPass, folder =>
            n % 8 == 0 ? Written(folder, seed, seed.Bytes, "--report", Path.Combine(folder, Ending.OutName)) : Written(folder, seed, seed.Bytes)));

    /// <summary>Cut short: inside the head, at fractions, one byte before the end.</summary>
    public static IEnumerable<Trial> Truncated(IReadOnlyList<SeedClip> seeds)
    {
        foreach (SeedClip seed in seeds)
        {
            int length = seed.Bytes.Length;
            foreach (int at in new[] { 12, length / 20, length / 3, length * 4 / 5, length - 1 }.Where(at => at > 0 && at < length).Distinct())
                yield return new Trial("cut short", FormattableString.Invariant($"{seed.Name} after {at} of {length} bytes"), Bound.NeverPass, folder => Written(folder, seed, seed.Bytes[..at], at % 4 == 0 ? [] : Stated));
        }
    }

    /// <summary>Bytes changed, dropped, doubled or filled, a given number of files in all, spread over the seeds.</summary>
    public static IEnumerable<Trial> Flipped(IReadOnlyList<SeedClip> seeds, int count, int firstSeed)
    {
        for (int n = 0; n < count; n++)
        {
            SeedClip seed = seeds[n % seeds.Count];
            int number = firstSeed + n;
            string kind = ByteDamage.Kinds[n / seeds.Count % ByteDamage.Kinds.Count];
            yield return new Trial("bytes changed", FormattableString.Invariant($"{seed.Name}, {kind}, seed {number}"), Bound.NeverPass, folder => Written(folder, seed, ByteDamage.Apply(seed.Bytes, kind, number), number % 8 == 0 ? [] : Stated));
        }
    }
}
