using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace FlickerProbe.Footage;

/// <summary>The innermost loop of decoding: sum of table[code] over a run of pixels.</summary>
/// <remarks>
/// Four sums run side by side because one addition must wait for the one before. Codes of 8 bits are looked up 64 at a time where the
/// processor can look up bytes in a register (AVX-512 VBMI): entries as whole numbers of 32 bits between the least and the largest, a byte of
/// them at a time, which keeps 2⁻³³ of their span. Elsewhere two at a time: 0.13 instead of 0.28 ns a pixel; the table of pairs is large, but
/// neighbours are alike and what is used of it stays near. Look-ups by gather instructions and histograms were tried and are slower. Fully
/// compiled from the first call: waiting for the run-time's own judgement costs more than it gains in a run of seconds. The plain loop is
/// the twin in the tests.
/// </remarks>
public sealed class RowSums
{
    private readonly double[] _ofOne;
    private readonly double[] _ofTwo; // the sum for two 8-bit codes, whichever is the low byte of the place; empty for deeper codes
    private readonly BytePlanes? _planes; // the same for 64 codes at a time; null where the processor can't

    /// <summary>Takes the table.</summary>
    /// <param name="table">An entry per code, in any unit: 256, or a larger power of two for codes of more than 8 bits.</param>
    /// <exception cref="ArgumentException">Another number of entries.</exception>
    public RowSums(double[] table) : this(table, BytePlanes.AreQuick)
    {
    }

    /// <summary>Takes the table, and says whether 8-bit codes are looked up 64 at a time.</summary>
    internal RowSums(double[] table, bool inRegisters)
    {
        ArgumentNullException.ThrowIfNull(table);
        if (table.Length < 256 || (table.Length & (table.Length - 1)) != 0) throw new ArgumentException("A table has a power of two of entries, 256 or more.", nameof(table));
        _ofOne = table;
        _ofTwo = table.Length == 256 ? new double[1 << 16] : [];
        if (table.Length == 256 && inRegisters) _planes = new BytePlanes(table);
        for (int pair = 0; pair < _ofTwo.Length; pair++) _ofTwo[pair] = table[pair & 0xFF] + table[pair >> 8];
    }

    /// <summary>Sum of the table's entries over 8-bit codes; unit that of the table.</summary>
    /// <exception cref="InvalidOperationException">The table is for deeper codes.</exception>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double Of(ReadOnlySpan<byte> codes)
    {
        // The one check that lets the loop go without: no byte and no two can leave these tables.
        if (_ofTwo.Length == 0) throw new InvalidOperationException("The table is for codes of more than 8 bits.");
        double inPlanes = _planes?.Of(ref codes) ?? 0;
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
        return inPlanes + a + b + (c + d);
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

    /// <summary>A table of 256 entries as 32-bit whole numbers, one vector for each byte of them and each quarter of the codes.</summary>
    private sealed class BytePlanes
    {
        private const int Bytes = 4;
        private readonly Vector512<byte>[] _quarters; // [byte * 4 + quarter]
        private readonly double _least, _step;

        public BytePlanes(double[] table)
        {
            _least = table.Min();
            _step = (table.Max() - _least) / uint.MaxValue;
            _quarters = new Vector512<byte>[Bytes * 4];
            byte[] plane = new byte[table.Length];
            for (int place = 0; place < Bytes; place++)
            {
                for (int code = 0; code < table.Length; code++) plane[code] = (byte)((ulong)Math.Round(_step > 0 ? (table[code] - _least) / _step : 0) >> (8 * place));
                for (int quarter = 0; quarter < 4; quarter++) _quarters[place * 4 + quarter] = Vector512.Create(plane, quarter * Vector512<byte>.Count);
            }
        }

        public static bool AreQuick => Avx512Vbmi.IsSupported;

        /// <summary>The sum over as many whole vectors as there are; what is left over is left in the run.</summary>
        [MethodImpl(MethodImplOptions.AggressiveOptimization)]
        public double Of(ref ReadOnlySpan<byte> codes)
        {
            ReadOnlySpan<Vector512<byte>> runs = MemoryMarshal.Cast<byte, Vector512<byte>>(codes);
            Vector512<byte>[] q = _quarters;
            // All sixteen vectors of the table stay in registers.
            Vector512<byte> a0 = q[0], a1 = q[1], a2 = q[2], a3 = q[3], b0 = q[4], b1 = q[5], b2 = q[6], b3 = q[7];
            Vector512<byte> c0 = q[8], c1 = q[9], c2 = q[10], c3 = q[11], d0 = q[12], d1 = q[13], d2 = q[14], d3 = q[15];
            Vector512<ulong> a = default, b = default, c = default, d = default;
            foreach (Vector512<byte> code in runs)
            {
                Vector512<byte> upper = Vector512.LessThan(code.AsSByte(), Vector512<sbyte>.Zero).AsByte();
                a += Sums(Vector512.ConditionalSelect(upper, Avx512Vbmi.PermuteVar64x8x2(a2, code, a3), Avx512Vbmi.PermuteVar64x8x2(a0, code, a1)));
                b += Sums(Vector512.ConditionalSelect(upper, Avx512Vbmi.PermuteVar64x8x2(b2, code, b3), Avx512Vbmi.PermuteVar64x8x2(b0, code, b1)));
                c += Sums(Vector512.ConditionalSelect(upper, Avx512Vbmi.PermuteVar64x8x2(c2, code, c3), Avx512Vbmi.PermuteVar64x8x2(c0, code, c1)));
                d += Sums(Vector512.ConditionalSelect(upper, Avx512Vbmi.PermuteVar64x8x2(d2, code, d3), Avx512Vbmi.PermuteVar64x8x2(d0, code, d1)));
            }
            ulong sum = Vector512.Sum(a + (b << 8) + (c << 16) + (d << 24));
            int done = runs.Length * Vector512<byte>.Count;
            codes = codes[done..];
            return done * _least + sum * _step;
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private static Vector512<ulong> Sums(Vector512<byte> bytes) => Avx512BW.SumAbsoluteDifferences(bytes, Vector512<byte>.Zero).AsUInt64();
    }
}
