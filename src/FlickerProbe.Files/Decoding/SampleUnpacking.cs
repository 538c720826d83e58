using System.Buffers.Binary;

namespace FlickerProbe.Files.Decoding;

/// <summary>Takes the codes of one channel out of a row that holds others between them, or holds them shifted or high byte first.</summary>
internal static class SampleUnpacking
{
    /// <summary>8-bit codes.</summary>
    /// <returns>The part of <paramref name="codes"/> that was filled.</returns>
    public static ReadOnlySpan<byte> Bytes(ReadOnlySpan<byte> stored, ChannelPlace place, byte[] codes)
    {
        int n = 0;
        for (int at = place.Offset; at < stored.Length && n < codes.Length; at += place.Stride) codes[n++] = stored[at];
        return codes.AsSpan(0, n);
    }

    /// <summary>Codes of more than 8 bits.</summary>
    /// <returns>The part of <paramref name="codes"/> that was filled.</returns>
    public static ReadOnlySpan<ushort> Words(ReadOnlySpan<ushort> stored, ChannelPlace place, bool swapBytes, ushort[] codes)
    {
        int n = 0;
        for (int at = place.Offset; at < stored.Length && n < codes.Length; at += place.Stride)
        {
            ushort code = swapBytes ? BinaryPrimitives.ReverseEndianness(stored[at]) : stored[at];
            codes[n++] = (ushort)(code >> place.Shift);
        }
        return codes.AsSpan(0, n);
    }
}
