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

    [Fact]
    public void The_fail_line_is_three_times_that_and_says_it_is_the_projects_choice()
    {
        Assert.Equal(3 * Policy.Default.Pulsing.Pass, Policy.Default.Pulsing.Fail, 12);
        Assert.Contains("fail line: three times that, the project's own choice", Policy.Default.Pulsing.Source, StringComparison.Ordinal);
    }
}
