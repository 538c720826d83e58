namespace FlickerProbe.Validation.Cases;

/// <summary>Seeded chance (SplitMix64, Steele, Lea &amp; Flood, OOPSLA 2014): the same throws on every runtime.</summary>
/// <remarks>Each concern of a case throws its own dice (<see cref="For"/>), so that a change to one leaves the others' throws as they were.</remarks>
internal sealed class Dice(ulong seed)
{
    private ulong _state = seed;

    /// <summary>Dice of their own for one concern of one case.</summary>
    public static Dice For(int seed, string concern)
    {
        ulong hash = 14695981039346656037; // FNV-1a
        foreach (char c in concern) hash = (hash ^ c) * 1099511628211;
        Dice dice = new(hash ^ ((ulong)(uint)seed * 0x9E3779B97F4A7C15));
        dice.Bits();
        return dice;
    }

    /// <summary>Uniform in [0, 1).</summary>
    public double Share() => (Bits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>True with this probability.</summary>
    public bool Chance(double probability) => Share() < probability;

    /// <summary>Uniform.</summary>
    public double Between(double low, double high) => low + (high - low) * Share();

    /// <summary>Uniform in the logarithm.</summary>
    public double LogBetween(double low, double high) => Math.Exp(Between(Math.Log(low), Math.Log(high)));

    /// <summary>Uniform whole number, both ends included.</summary>
    public int Whole(int low, int high) => low + (int)(Share() * (high - low + 1));

    /// <summary>Normal.</summary>
    public double Normal(double deviation) =>
        deviation * Math.Sqrt(-2 * Math.Log(1 - Share())) * Math.Cos(2 * Math.PI * Share());

    /// <summary>One of them, all alike.</summary>
    public T Of<T>(params T[] choices) => choices[Whole(0, choices.Length - 1)];

    /// <summary>One of them by weight.</summary>
    public T Weighted<T>(params (double Weight, T Choice)[] choices)
    {
        double at = Share() * choices.Sum(c => c.Weight);
        foreach ((double weight, T choice) in choices)
        {
            if ((at -= weight) < 0) return choice;
        }
        return choices[^1].Choice;
    }

    private ulong Bits()
    {
        ulong z = _state += 0x9E3779B97F4A7C15;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }
}
