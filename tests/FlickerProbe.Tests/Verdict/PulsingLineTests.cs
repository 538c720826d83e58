using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Verdict;

public class PulsingLineTests
{
    // de Lange 1958, 159.16 cd/m², 2° white field in a 60° surround; threshold amplitude over mean, as digitised in the open elaTCSF data (flicker_detection_datasets.csv, MIT).
    private static readonly (double Hz, double Threshold)[] DeLange =
    [
        (1.51, 0.0164), (2.01, 0.01467), (2.99, 0.01136), (4.01, 0.00873), (4.98, 0.00744), (6.05, 0.00563), (7.01, 0.00499), (9.92, 0.00532),
        (15.06, 0.00880), (24.68, 0.0200), (34.11, 0.0463),
    ];

    [Fact]
    public void The_pass_line_for_pulsing_is_the_lowest_published_threshold()
    {
        (double hz, double threshold) = DeLange.MinBy(p => p.Threshold);
        Assert.InRange(hz, 5, 10);
        Assert.Equal(threshold, Policy.Default.Pulsing.Pass, 2e-5);
    }

    // Kelly 1961, 68° field without edges, 40.8 and 450 cd/m², same data; and de Lange at 15.9 cd/m².
    public static TheoryData<string, double[]> OtherFields => new()
    {
        { "Kelly 40.8 cd/m²", [0.0562, 0.0304, 0.0199, 0.0138, 0.0103, 0.00985, 0.0110, 0.0127, 0.0167, 0.0435] },
        { "Kelly 450 cd/m²", [0.0649, 0.0301, 0.0123, 0.00873, 0.00756, 0.00755, 0.00945, 0.0136, 0.0263] },
        { "de Lange 15.9 cd/m²", [0.01693, 0.01301, 0.00839, 0.00558, 0.00634, 0.00938, 0.0200, 0.0712] },
    };

    [Theory]
    [MemberData(nameof(OtherFields))]
    public void No_other_classic_measurement_lies_under_the_pass_line(string field, double[] thresholds) =>
        Assert.True(thresholds.Min() >= Policy.Default.Pulsing.Pass, field);

    [Fact]
    public void The_fail_line_is_three_times_that_and_says_it_is_the_projects_choice()
    {
        Assert.Equal(3 * Policy.Default.Pulsing.Pass, Policy.Default.Pulsing.Fail, 12);
        Assert.Contains("fail line: three times that, the project's own choice", Policy.Default.Pulsing.Source, StringComparison.Ordinal);
    }
}
