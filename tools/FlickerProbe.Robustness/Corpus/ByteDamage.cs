namespace FlickerProbe.Robustness.Corpus;

/// <summary>Ways of damaging the bytes of a file, each repeatable from a number.</summary>
internal static class ByteDamage
{
    /// <summary>The kinds.</summary>
    public static IReadOnlyList<string> Kinds { get; } =
        ["one bit", "one byte", "ten bytes", "a hundred bytes", "head bytes", "head to 255", "zeroed block", "noise block", "a missing piece", "a doubled piece", "exchanged pieces", "foreign tail"];

    /// <summary>A damaged copy.</summary>
    public static byte[] Apply(byte[] sound, string kind, int number)
    {
        var random = new Random(number);
        byte[] bytes = [.. sound];
        int length = bytes.Length;
        int block = Math.Clamp(length / 16, 1, 4096), from = random.Next(Math.Max(1, length - block));
        switch (kind)
        {
            case "one bit": bytes[random.Next(length)] ^= (byte)(1 << random.Next(8)); break;
            case "one byte": Some(1, length); break;
            case "ten bytes": Some(10, length); break;
            case "a hundred bytes": Some(100, length); break;
            case "head bytes": Some(4, Math.Min(length, 600)); break;
            case "head to 255": bytes.AsSpan(random.Next(Math.Min(length, 600) - 4 > 0 ? Math.Min(length, 600) - 4 : 1), Math.Min(4, length)).Fill(0xFF); break;
            case "zeroed block": bytes.AsSpan(from, block).Clear(); break;
            case "noise block": random.NextBytes(bytes.AsSpan(from, block)); break;
            case "a missing piece": return [.. bytes[..from], .. bytes[(from + block)..]];
            case "a doubled piece": return [.. bytes[..(from + block)], .. bytes[from..]];
            case "exchanged pieces": return [.. bytes[(length / 2)..], .. bytes[..(length / 2)]];
            case "foreign tail": return [.. bytes, .. bytes[..from]];
            default: throw new ArgumentOutOfRangeException(nameof(kind), kind, "No such damage.");
        }
        return bytes;

        void Some(int count, int within)
        {
            for (int i = 0; i < count; i++) bytes[random.Next(within)] = (byte)random.Next(256);
        }
    }
}
