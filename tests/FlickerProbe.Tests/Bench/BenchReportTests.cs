using FlickerProbe.Bench;
using FlickerProbe.Bench.Racing;

namespace FlickerProbe.Tests.Bench;

/// <summary>The table of given timings: ratios of the same round, medians, goals.</summary>
public class BenchReportTests
{
    private static Run Took(double wall, double processor = 1, long peak = 0, double after = double.NaN) => new(wall, processor, peak, after);

    [Fact]
    public void The_ratio_is_the_median_over_rounds_of_the_same_round()
    {
        // 1.1, 1.3 and 1.2: the middle of the ratios, not the ratio of the middles.
        RaceResult result = new("work", new Goal(1.2), [Took(10), Took(20), Took(5)], [Took(11), Took(26), Took(6)]);
        Assert.Equal(1.2, result.Ratio!.Value, 1e-12);
        Assert.True(result.IsMet);
        Assert.False((result with { Goal = new Goal(1.19) }).IsMet);
    }

    [Theory]
    [InlineData(1.0, 0.5, 100_000_000, true)]
    [InlineData(1.0, 1.5, 100_000_000, false)]
    [InlineData(1.0, 0.5, 300_000_000, false)]
    [InlineData(3.0, 0.5, 100_000_000, false)]
    public void Every_part_of_a_goal_counts(double wall, double after, long peak, bool met) =>
        Assert.Equal(met, new RaceResult("work", new Goal(WallSeconds: 2, AfterLastFrameSeconds: 1), [], [Took(wall, 1, peak, after)]).IsMet);

    [Fact]
    public void The_report_holds_a_row_for_every_race_with_goal_ratio_and_answer()
    {
        RaceResult[] races =
        [
            new("thirty seconds", new Goal(1.15, AfterLastFrameSeconds: 1), [Took(10, 19)], [Took(11, 20, 120_000_000, 0.6)]),
            new("help", new Goal(WallSeconds: 0.15, PeakMegabytes: null), [], [Took(0.12)]),
            new("free", new Goal(PeakMegabytes: null), [Took(1)], [Took(2)]),
        ];
        string[] lines = BenchReport.Write(races, [], 1, 0, "a quiet machine").Split('\n');
        Assert.Contains("| thirty seconds | ≤ 1.15 × bare, ≤ 1.00 s after the last frame, ≤ 250 MB | 10.0 | 11.0 | 1.10 (1.10–1.10) | 1.05 | 0.600 | 120 | yes |", lines);
        Assert.Contains("| help | ≤ 0.150 s | – | 0.120 | – | – | – | – | yes |", lines);
        Assert.Contains("| free | – | 1.00 | 2.00 | 2.00 (2.00–2.00) | 1.00 | – | – | – |", lines);
        Assert.Contains("a quiet machine", lines);
    }

    [Fact]
    public void The_middle_of_an_even_number_lies_between() => Assert.Equal(2.5, RaceResult.Median([4, 1, 2, 3]));
}
