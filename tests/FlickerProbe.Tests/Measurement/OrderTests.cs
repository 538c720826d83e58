using FlickerProbe.Measurement;
using MathNet.Numerics.Statistics;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Order statistics against MathNet.Numerics: quantile definition 7 of Hyndman and Fan, "Sample quantiles in statistical packages", Am. Stat. 50 (1996).</summary>
public class OrderTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(7)]
    [InlineData(8)]
    [InlineData(1001)]
    public void Quantiles_are_those_of_a_general_library(int length)
    {
        var normal = new NormalNoise(length);
        double[] values = [.. Enumerable.Range(0, length).Select(_ => normal.Next())];
        double[] before = [.. values];

        foreach (double share in new[] { 0, 0.005, 0.25, 0.5, 0.9, 0.995, 1 })
            Assert.Equal(Statistics.QuantileCustom(values, share, QuantileDefinition.R7), Order.Quantile(values, share), 1e-12);
        Assert.Equal(Statistics.Median(values), Order.Median(values), 1e-12);
        Assert.Equal(before, values);
    }

    [Fact]
    public void Nothing_has_no_median() => Assert.True(double.IsNaN(Order.Median([])));
}
