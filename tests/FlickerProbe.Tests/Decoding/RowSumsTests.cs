using FlickerProbe.Footage;
using FlickerProbe.Light;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

public class RowSumsTests
{
    [Fact]
    public void The_fast_sum_equals_the_plain_one_at_every_length()
    {
        var random = new Random(1);
        double[] table8 = LightTable.Build(TransferFunction.Bt709, new SignalScale(SignalRange.Limited, 8));
        double[] table10 = LightTable.Build(TransferFunction.Bt709, new SignalScale(SignalRange.Limited, 10));
        double[] table16 = LightTable.Build(TransferFunction.Srgb, new SignalScale(SignalRange.Full, 16));
        double span = table8.Max() - table8.Min();
        for (int length = 0; length < 200; length++)
        {
            byte[] bytes = new byte[length];
            random.NextBytes(bytes);
            ushort[] words10 = [.. bytes.Select(b => (ushort)(b * 4 + 1))];
            ushort[] words16 = [.. bytes.Select(b => (ushort)(b * 257))];
            Assert.Equal(bytes.Sum(code => table8[code]), new RowSums(table8, inRegisters: false).Of(bytes), 1e-11);
            // Looked up in registers every entry is kept to half a step of 32 bits of the table's span.
            Assert.Equal(bytes.Sum(code => table8[code]), new RowSums(table8).Of(bytes), 1e-11 + length * span * Math.Pow(2, -33));
            Assert.Equal(words10.Sum(code => table10[code]), new RowSums(table10).Of(words10), 1e-11);
            Assert.Equal(words16.Sum(code => table16[code]), new RowSums(table16).Of(words16), 1e-11);
        }
    }

    [Fact]
    public void Every_code_has_its_own_entry_however_many_are_looked_up_at_a_time()
    {
        double[] table = [.. Enumerable.Range(0, 256).Select(code => -3 + code * code * 0.01)];
        var sums = new RowSums(table);
        foreach (int code in Enumerable.Range(0, 256))
        {
            byte[] run = [.. Enumerable.Repeat((byte)code, 130)];
            Assert.Equal(130 * table[code], sums.Of(run), 130 * (table[^1] - table[0]) * Math.Pow(2, -33));
        }
        Assert.Equal(130 * 0.25, new RowSums([.. Enumerable.Repeat(0.25, 256)]).Of(new byte[130]), 1e-12);
    }

    [Fact]
    public void A_code_beyond_the_table_never_reads_outside_it()
    {
        double[] table = new double[1024];
        table[1023] = 1;
        Assert.Equal(2, new RowSums(table).Of([(ushort)65535, (ushort)1023]));
        Assert.Throws<ArgumentException>(() => new RowSums(new double[255]));
        Assert.Throws<ArgumentException>(() => new RowSums(new double[1000]));
        Assert.Throws<InvalidOperationException>(() => new RowSums(table).Of([(byte)255]));
    }
}
