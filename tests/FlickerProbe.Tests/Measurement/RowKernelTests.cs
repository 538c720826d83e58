using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>The vectorised inner loops against plain ones, at every length around the vector's own.</summary>
public class RowKernelTests
{
    public static TheoryData<int> Lengths => [.. Enumerable.Range(0, 40), 127, 128, 129, 1080];

    private static float[] Values(int length, int seed)
    {
        var normal = new NormalNoise(seed);
        return [.. Enumerable.Range(0, length).Select(_ => (float)normal.Next())];
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void The_dot_product_is_that_of_a_plain_loop(int length)
    {
        float[] a = Values(length, 1), b = Values(length, 2);
        double sum = 0, size = 0;
        for (int i = 0; i < length; i++)
        {
            sum += (double)a[i] * b[i];
            size += Math.Abs((double)a[i] * b[i]);
        }

        // Single precision: each of the additions rounds by at most 2⁻²⁴ of what has gathered.
        Assert.Equal(sum, RowKernel.Dot(a, b), 1e-6 * size + 1e-12);
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void Adding_two_scaled_rows_is_that_of_a_plain_loop(int length)
    {
        float[] target = Values(length, 3), re = Values(length, 4), im = Values(length, 5);
        double[] expected = [.. target.Select((t, i) => t + 0.7 * re[i] - 1.3 * im[i])];

        RowKernel.AddScaled(target, 0.7f, re, -1.3f, im);

        for (int i = 0; i < length; i++) Assert.Equal(expected[i], target[i], 2e-6);
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void Light_relative_to_its_mean_is_that_of_a_plain_loop(int length)
    {
        float[] light = Values(length, 21), scale = Values(length, 22), one = Values(length, 23), into = new float[length];

        RowKernel.Relative(light, 1.7f, scale, one, into);

        for (int i = 0; i < length; i++) Assert.Equal((double)light[i] * 1.7f * scale[i] - one[i], into[i], 2e-6 * (1 + Math.Abs(light[i] * scale[i])));
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void Four_products_at_once_are_four_plain_loops(int length)
    {
        float[] row = Values(length, 6);
        float[][] others = [.. Enumerable.Range(7, 4).Select(seed => Values(length, seed))];
        (double a, double b, double c, double d) = RowKernel.Dots(row, others[0], others[1], others[2], others[3]);
        double[] found = [a, b, c, d];
        for (int k = 0; k < 4; k++)
        {
            double size = row.Zip(others[k], (x, y) => Math.Abs((double)x * y)).Sum();
            Assert.Equal(row.Zip(others[k], (x, y) => (double)x * y).Sum(), found[k], 1e-6 * size + 1e-12);
        }
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void Weighted_squares_are_those_of_a_plain_loop(int length)
    {
        float[] values = Values(length, 11), weights = [.. Values(length, 12).Select(Math.Abs)];
        double sum = values.Zip(weights, (v, w) => (double)v * v * w).Sum();
        Assert.Equal(sum, RowKernel.WeightedSquares(values, weights), 1e-6 * sum + 1e-12);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(8)]
    [InlineData(101)]
    public void Cross_products_are_those_of_complex_numbers(int length)
    {
        var random = new Random(length + 5);
        System.Numerics.Complex[] a = [.. Enumerable.Range(0, length).Select(_ => new System.Numerics.Complex(random.NextDouble() - 0.5, random.NextDouble()))];
        System.Numerics.Complex[] b = [.. Enumerable.Range(0, length).Select(_ => new System.Numerics.Complex(random.NextDouble(), random.NextDouble() - 0.3))];
        System.Numerics.Complex plain = default, conjugate = default;
        for (int i = 0; i < length; i++)
        {
            plain += a[i] * b[i];
            conjugate += a[i] * System.Numerics.Complex.Conjugate(b[i]);
        }
        (double rr, double ii, double ri, double ir) = RowKernel.CrossProducts(
            [.. a.Select(c => c.Real)], [.. a.Select(c => c.Imaginary)], [.. b.Select(c => c.Real)], [.. b.Select(c => c.Imaginary)]);
        Assert.Equal(plain.Real, rr - ii, 1e-12 * (1 + length));
        Assert.Equal(plain.Imaginary, ri + ir, 1e-12 * (1 + length));
        Assert.Equal(conjugate.Real, rr + ii, 1e-12 * (1 + length));
        Assert.Equal(conjugate.Imaginary, ir - ri, 1e-12 * (1 + length));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(5)]
    [InlineData(64)]
    [InlineData(99)]
    public void The_dot_product_of_doubles_is_that_of_a_plain_loop(int length)
    {
        double[] a = [.. Values(length, 11).Select(v => (double)v)], b = [.. Values(length, 12).Select(v => (double)v)];
        Assert.Equal(a.Zip(b, (x, y) => x * y).Sum(), RowKernel.Dot(a, b), 1e-12 * (1 + length));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(5)]
    [InlineData(64)]
    [InlineData(99)]
    public void Adding_doubles_scaled_is_a_plain_loop(int length)
    {
        double[] target = [.. Values(length, 13).Select(v => (double)v)], other = [.. Values(length, 14).Select(v => (double)v)];
        double[] plain = [.. target.Zip(other, (t, o) => t - 1.3 * o)];
        RowKernel.AddScaled(target, -1.3, other);
        Assert.Equal(plain, target, (x, y) => Math.Abs(x - y) <= 1e-12);
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void Two_products_at_once_are_two_plain_loops(int length)
    {
        float[] row = Values(length, 31), a = Values(length, 32), b = Values(length, 33);
        (double first, double second) = RowKernel.Dots(row, a, b);
        Assert.Equal(row.Zip(a, (x, y) => (double)x * y).Sum(), first, 1e-6 * row.Zip(a, (x, y) => Math.Abs((double)x * y)).Sum() + 1e-12);
        Assert.Equal(row.Zip(b, (x, y) => (double)x * y).Sum(), second, 1e-6 * row.Zip(b, (x, y) => Math.Abs((double)x * y)).Sum() + 1e-12);
    }

    [Theory]
    [MemberData(nameof(Lengths))]
    public void Taking_a_row_away_and_adding_one_in_double_precision_are_plain_loops(int length)
    {
        float[] target = Values(length, 34), other = Values(length, 35);
        double[] sums = [.. Values(length, 36).Select(v => (double)v)];
        float[] less = [.. target.Zip(other, (t, o) => t - o)];
        double[] more = [.. sums.Zip(other, (t, o) => t + 0.3 * o)];

        RowKernel.Subtract(target, other);
        RowKernel.AddScaled(sums, 0.3, other.AsSpan());

        Assert.Equal(less, target);
        Assert.Equal(more, sums, (x, y) => Math.Abs(x - y) <= 1e-12);
    }
}
