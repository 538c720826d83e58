using MathNet.Numerics.Statistics;

namespace FlickerProbe.Measurement;

/// <summary>Order statistics of plain arrays; the input is left as it was.</summary>
internal static class Order
{
    /// <summary>The median; NaN for an empty array.</summary>
    public static double Median(ReadOnlySpan<double> values) => Quantile(values, 0.5);

    /// <summary>The value that a share of the entries does not exceed (nearest rank, halves averaged at the middle); NaN for an empty array.</summary>
    public static double Quantile(ReadOnlySpan<double> values, double share)
    {
        if (values.Length == 0) return double.NaN;
        double[] parted = values.ToArray();
        double place = share * (parted.Length - 1);
        int below = (int)place;
        double low = ArrayStatistics.OrderStatisticInplace(parted, below + 1);
        return below + 1 < parted.Length ? low + (place - below) * (ArrayStatistics.OrderStatisticInplace(parted, below + 2) - low) : low;
    }
}
