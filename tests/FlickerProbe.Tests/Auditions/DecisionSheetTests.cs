using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Auditions;

public class DecisionSheetTests
{
    internal static FixtureResult Fixture(string name, string verdict, string? price, params (double Dimmer, string Verdict)[] levels) => new()
    {
        Name = name, Verdict = verdict, Price = price, Reasons = [new ReasonResult("between-lines", "It lies between the lines.")],
        Levels = [.. levels.Select(l => new LevelResult
        {
            Dimmer = l.Dimmer, Verdict = l.Verdict, Light = new LightResult { CandidatesHz = [], Components = [] },
            Formats = [new FormatResult { FrameRate = "25", ExposureTime = 0.02, Verdict = l.Verdict, ModulationDepth = new Estimate(0.05, 0.04, 0.06), BeatHz = [] }],
            Takes = [new TakeResult { Clip = "a.mp4", Sha256 = "00", FrameRate = "25", Frames = 1, Region = new RegionResult(0, 0, 1, 1), Level = new LevelFigures(0.5, 0.6, 0, 0), DetectionLimit = 0.001, Tones = [], Warnings = [] }],
        })],
    };

    private static IEnumerable<string> Order(params FixtureResult[] fixtures) => DecisionSheet.Of(fixtures).Rows.Select(r => r.Fixture.Name);

    [Fact]
    public void Verdict_comes_first_then_usable_range_then_price() => Assert.Equal(["D", "C", "B", "E", "A"], Order(
        Fixture("A", "fail", "1 EUR", (1, "pass"), (0, "pass")),
        Fixture("B", "pass", "50 EUR", (1, "pass"), (0.5, "pass")),
        Fixture("C", "pass", "40 EUR", (1, "pass"), (0.5, "pass")),
        Fixture("D", "pass", "900 EUR", (1, "pass"), (0.1, "pass")),
        Fixture("E", "watch", "2 EUR", (1, "pass"), (0.1, "watch"))));

    [Fact]
    public void The_usable_range_is_that_of_the_levels_in_use()
    {
        FixtureResult all = Fixture("A", "pass", null, (1, "pass"), (0.5, "pass"), (0.1, "pass"), (0.05, "fail"));
        Assert.Equal(new DimmingRange(0.1, 1), DimmingRange.Of(all));
        Assert.Equal(new DimmingRange(0.5, 1), DimmingRange.Of(all with { LevelsUsed = [1, 0.5] }));
        // A level that fails between two in use breaks the range, in use or not; one that passes changes nothing.
        FixtureResult gap = Fixture("A", "pass", null, (1, "pass"), (0.5, "fail"), (0.25, "pass"), (0.1, "pass"));
        Assert.Equal(new DimmingRange(0.1, 0.25), DimmingRange.Of(gap with { LevelsUsed = [1, 0.25, 0.1] }));
        Assert.Equal(new DimmingRange(0.1, 1), DimmingRange.Of(Fixture("A", "pass", null, (1, "pass"), (0.5, "pass"), (0.1, "pass")) with { LevelsUsed = [1, 0.1] }));
    }

    [Fact]
    public void A_level_that_is_not_in_use_is_shown_as_such_and_is_not_the_worst()
    {
        FixtureResult fixture = Fixture("A", "pass", null, (1, "pass"), (0.5, "pass"), (0.05, "fail")) with { LevelsUsed = [1, 0.5] };
        Assert.Equal(["50–100 %", "5 % (not in use)"], FixtureSection.RunsOf(fixture).Select(r => r.Levels));
        Assert.NotEqual(0.05, WorstLevel.Of(fixture)!.Dimmer);
    }

    [Fact]
    public void Prices_in_different_currencies_are_not_compared()
    {
        DecisionSheet sheet = DecisionSheet.Of([Fixture("B", "pass", "10 EUR", (1, "pass")), Fixture("A", "pass", "20 GBP", (1, "pass"))]);
        Assert.False(sheet.PricesCompared);
        Assert.Equal(["A", "B"], sheet.Rows.Select(r => r.Fixture.Name));
        Assert.Contains("were not compared", sheet.ToText(), StringComparison.Ordinal);
        Assert.Equal(["B", "A"], Order(Fixture("B", "pass", "10 EUR", (1, "pass")), Fixture("A", "pass", "€20", (1, "pass"))));
    }

    [Fact]
    public void A_fixture_without_a_price_comes_after_those_with() =>
        Assert.Equal(["B", "A"], Order(Fixture("A", "pass", null, (1, "pass")), Fixture("B", "pass", "1000 EUR", (1, "pass"))));

    [Theory]
    [InlineData("240 EUR", 240, "EUR")]
    [InlineData("EUR 1 240.50", 1240.50, "EUR")]
    [InlineData("€1.240,50", 1240.50, "EUR")]
    [InlineData("1,240 GBP", 1240, "GBP")]
    [InlineData("CHF 1'240.50", 1240.50, "CHF")]
    [InlineData("99,90 €", 99.90, "EUR")]
    [InlineData("1.234.567 JPY", 1234567, "JPY")]
    [InlineData("240 eur plus tax", 240, "EUR")]
    [InlineData("240", 240, "")]
    public void Prices_read_as_people_write_them(string text, decimal amount, string currency) => Assert.Equal(new Price(amount, currency), Price.Read(text));

    [Theory]
    [InlineData("on request")]
    [InlineData("200-240 EUR")]
    [InlineData(null)]
    public void What_is_no_single_price_is_none(string? text) => Assert.Null(Price.Read(text));

    [Fact]
    public void Each_fixture_gets_one_plain_sentence()
    {
        Assert.Equal("It can be used at 10–100 % of the dimmer at the format asked for.", DecisionSentence.Of(Fixture("A", "pass", null, (1, "pass"), (0.1, "pass"))));
        Assert.Equal("Not decided; it passes at 100 % only of the dimmer: It lies between the lines.", DecisionSentence.Of(Fixture("A", "watch", null, (1, "pass"), (0.1, "watch"))));
        Assert.Equal("It flickers: 5 % on camera, dimmed to 10 %, at 25 fps at 1/50 s; it passes at 100 % only of the dimmer.", DecisionSentence.Of(Fixture("A", "fail", null, (1, "pass"), (0.1, "fail"))));
        Assert.Equal("Nothing of it was measured, so nothing can be said.", DecisionSentence.Of(Fixture("A", "watch", null)));
    }
}
