using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace FlickerProbe.Footage;

/// <summary>The innermost loop of decoding: sum of table[code] over a run of pixels.</summary>
/// <remarks>
/// Four sums run side by side because one addition must wait for the one before. Codes of 8 bits are looked up two at a time: 0.13 instead of
/// 0.28 ns a pixel; the table of pairs is large, but neighbours are alike and what is used of it stays near. Table look-ups by gather
/// instructions and histograms were tried and are slower. Fully compiled from the first call: waiting for the run-time's own judgement
/// costs more than it gains in a run of seconds. The plain loop is the twin in the tests.
/// </remarks>
public sealed class RowSums
{
    private readonly double[] _ofOne;
    private readonly double[] _ofTwo; // the sum for two 8-bit codes, whichever is the low byte of the place; empty for deeper codes

    /// <summary>Takes the table.</summary>
    /// <param name="table">An entry per code, in any unit: 256, or a larger power of two for codes of more than 8 bits.</param>
    /// <exception cref="ArgumentException">Another number of entries.</exception>
    public RowSums(double[] table)
    {
        ArgumentNullException.ThrowIfNull(table);
        if (table.Length < 256 || (table.Length & (table.Length - 1)) != 0) throw new ArgumentException("A table has a power of two of entries, 256 or more.", nameof(table));
        _ofOne = table;
        _ofTwo = table.Length == 256 ? new double[1 << 16] : [];
        for (int pair = 0; pair < _ofTwo.Length; pair++) _ofTwo[pair] = table[pair & 0xFF] + table[pair >> 8];
    }

    /// <summary>Sum of the table's entries over 8-bit codes; unit that of the table.</summary>
    /// <exception cref="InvalidOperationException">The table is for deeper codes.</exception>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double Of(ReadOnlySpan<byte> codes)
    {
        // The one check that lets the loop go without: no byte and no two can leave these tables.
        if (_ofTwo.Length == 0) throw new InvalidOperationException("The table is for codes of more than 8 bits.");
        ref byte code = ref MemoryMarshal.GetReference(codes);
        ref double one = ref MemoryMarshal.GetArrayDataReference(_ofOne), two = ref MemoryMarshal.GetArrayDataReference(_ofTwo);
        double a = 0, b = 0, c = 0, d = 0;
        nint i = 0, length = codes.Length;
        for (; i <= length - 8; i += 8)
        {
            ulong eight = Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref code, i));
            a += Unsafe.Add(ref two, (nint)(ushort)eight);
            b += Unsafe.Add(ref two, (nint)(ushort)(eight >> 16));
            c += Unsafe.Add(ref two, (nint)(ushort)(eight >> 32));
            d += Unsafe.Add(ref two, (nint)(eight >> 48));
        }
        for (; i < length; i++) a += Unsafe.Add(ref one, (nint)Unsafe.Add(ref code, i));
        return a + b + (c + d);
    }

    /// <summary>Sum of the table's entries over codes of 9 to 16 bits; a code beyond the table counts by its low bits.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double Of(ReadOnlySpan<ushort> codes)
    {
        int mask = _ofOne.Length - 1;
        ref ushort code = ref MemoryMarshal.GetReference(codes);
        ref double light = ref MemoryMarshal.GetArrayDataReference(_ofOne);
        double a = 0, b = 0, c = 0, d = 0;
        nint i = 0, length = codes.Length;
        for (; i <= length - 4; i += 4)
        {
            a += Unsafe.Add(ref light, (nint)(Unsafe.Add(ref code, i) & mask));
            b += Unsafe.Add(ref light, (nint)(Unsafe.Add(ref code, i + 1) & mask));
            c += Unsafe.Add(ref light, (nint)(Unsafe.Add(ref code, i + 2) & mask));
            d += Unsafe.Add(ref light, (nint)(Unsafe.Add(ref code, i + 3) & mask));
        }
        for (; i < length; i++) a += Unsafe.Add(ref light, (nint)(Unsafe.Add(ref code, i) & mask));
        return a + b + (c + d);
    }
}
