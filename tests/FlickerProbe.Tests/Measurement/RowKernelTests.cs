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
}
