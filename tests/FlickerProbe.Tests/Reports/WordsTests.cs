using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Reports;

public class WordsTests
{
    // Worked by hand. Bounds round outwards: 0.2491 % may not be told as "below 0.24 %" or 0.25 as less.
    [Theory]
    [InlineData(0, 0, 0.002491, "below 0.25 %")]
    [InlineData(0, 0, 0.002, "below 0.20 %")]
    [InlineData(0.088, 0.0853, 0.0916, "8.80 % (8.53–9.16 %)")]
    [InlineData(0.9, 0.87321, 0.93601, "90.0 % (87.3–93.7 %)")]
    [InlineData(0.001, 0, 0.0042, "0.10 % (below 0.42 %)")]
    public void Per_cent_keeps_two_digits_of_the_interval(double value, double low, double high, string expected) =>
        Assert.Equal(expected, Words.Percent(new Estimate(value, low, high)));

    [Fact]
    public void Rounding_never_flatters()
    {
        Random random = new(3);
        for (int i = 0; i < 2000; i++)
        {
            double high = Math.Pow(10, -4 * random.NextDouble());
            string told = Words.Percent(Estimate.AtMost(high));
            double percent = double.Parse(told.Split(' ')[1], System.Globalization.CultureInfo.InvariantCulture);
            Assert.True(percent >= high * 100 - 1e-6, told);
            Assert.True(percent <= high * 100 * 1.11, told);
        }
    }

    [Theory]
    [InlineData(1000.3, 1000.298, 1000.302, "1000.300 Hz (1000.298–1000.302)")]
    [InlineData(120, 119, 121, "120 Hz (119–121)")]
    public void A_frequency_shows_what_its_interval_allows(double value, double low, double high, string expected) =>
        Assert.Equal(expected, Words.Hertz(new Estimate(value, low, high)));

    [Theory]
    [InlineData("a\u001b[31mb", "a[31mb")]
    [InlineData("x\u202Ey\u2066z", "xyz")]
    [InlineData("one\r\n\ttwo", "one two")]
    [InlineData(" Wäsche μ مصباح 😀 ", "Wäsche μ مصباح 😀")]
    public void Names_lose_what_could_move_or_turn_the_text(string given, string expected) => Assert.Equal(expected, Words.Clean(given));

    [Theory]
    [InlineData("100:pass 50:pass 10:fail", "50–100 %")]
    [InlineData("100:pass 50:fail 25:pass 10:pass", "10–25 %")]
    [InlineData("100:pass 50:watch 10:fail", "100 % only")]
    [InlineData("100:fail 50:watch", null)]
    [InlineData("100:pass 100:fail 50:pass", "50 % only")]
    public void The_usable_range_is_the_widest_run_that_passes(string levels, string? expected)
    {
        LevelResult[] results = levels.Split(' ').Select(text => text.Split(':')).Select(parts => new LevelResult
        {
            Dimmer = double.Parse(parts[0], System.Globalization.CultureInfo.InvariantCulture) / 100,
            Verdict = parts[1],
            Light = new LightResult { CandidatesHz = [], Components = [] },
            Formats = [],
            Takes = [],
        }).ToArray();
        FixtureResult fixture = new() { Name = "x", Verdict = "watch", Reasons = [], Levels = results };
        Assert.Equal(expected, DimmingRange.Of(fixture)?.ToString());
    }

    [Fact]
    public void A_watch_with_a_next_take_says_that_it_cannot_tell()
    {
        FixtureResult open = SampleDocuments.Audition().Fixtures[3];
        Answer answer = Answer.For(open);
        Assert.Equal("Watch: cannot tell yet; not a pass", answer.Headline);
        Assert.StartsWith("Next take: ", Assert.Single(answer.Do), StringComparison.Ordinal);
    }
}
