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
        for (int length = 0; length < 70; length++)
        {
            byte[] bytes = new byte[length];
            random.NextBytes(bytes);
            ushort[] words10 = [.. bytes.Select(b => (ushort)(b * 4 + 1))];
            ushort[] words16 = [.. bytes.Select(b => (ushort)(b * 257))];
            Assert.Equal(bytes.Sum(code => table8[code]), new RowSums(table8).Of(bytes), 1e-11);
            Assert.Equal(words10.Sum(code => table10[code]), new RowSums(table10).Of(words10), 1e-11);
            Assert.Equal(words16.Sum(code => table16[code]), new RowSums(table16).Of(words16), 1e-11);
        }
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
