namespace FlickerProbe.Rendering;

/// <summary>A small seeded generator (SplitMix64, Steele, Lea &amp; Flood, OOPSLA 2014) that gives the same numbers on every runtime.</summary>
internal sealed class Randomness(ulong seed)
{
    private ulong _state = seed;

    public ulong NextBits()
    {
        ulong z = _state += 0x9E3779B97F4A7C15;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }

    /// <summary>Uniform in [0, 1).</summary>
    public double NextDouble() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Uniform in [0, below).</summary>
    public int NextInt(int below) => (int)((NextBits() >> 32) * (ulong)below >> 32);

    /// <summary>Standard normal, by Box and Muller.</summary>
    public double NextGaussian() =>
        Math.Sqrt(-2 * Math.Log(1 - NextDouble())) * Math.Cos(2 * Math.PI * NextDouble());

    /// <summary>A generator of its own for one purpose, independent of the order in which others are used.</summary>
    public static Randomness For(int seed, int purpose)
    {
        Randomness r = new(((ulong)(uint)seed << 32) | (uint)purpose);
        r.NextBits();
        return r;
    }
}

/// <summary>A million standard normal numbers, read from random places: a Gaussian sample for the price of a memory read.</summary>
internal static class GaussianTable
{
    private const int Size = 1 << 20;
    private static readonly Lazy<float[]> Table = new(Fill);

    /// <summary><paramref name="count"/> numbers (at most 65 536) from a random place in the table.</summary>
    public static ReadOnlySpan<float> Take(Randomness random, int count) => Table.Value.AsSpan(random.NextInt(Size), count);

    private static float[] Fill()
    {
        Randomness random = new(0x5EED);
        float[] table = new float[Size + 65_536];
        for (int i = 0; i < Size; i += 2)
        {
            double radius = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())), angle = 2 * Math.PI * random.NextDouble();
            (double sin, double cos) = Math.SinCos(angle);
            table[i] = (float)(radius * cos);
            table[i + 1] = (float)(radius * sin);
        }

        table.AsSpan(0, 65_536).CopyTo(table.AsSpan(Size)); // a row that runs over the end carries on at the start
        return table;
    }
}
