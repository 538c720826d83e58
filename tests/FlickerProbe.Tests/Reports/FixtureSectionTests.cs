using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Tests.Reports;

/// <summary>One fixture's part of the report.</summary>
public class FixtureSectionTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    public void Every_reason_is_told_once_the_first_in_the_table_and_the_others_below_it(int reasons)
    {
        FixtureResult fixture = SampleDocuments.SingleClip().Fixtures[0];
        LevelResult level = fixture.Levels[0];
        FormatResult format = level.Formats[0] with { Reasons = [.. Enumerable.Range(1, reasons).Select(i => new ReasonResult("code", $"Reason number {i} is told."))] };
        Block[] blocks = [.. FixtureSection.Build(fixture with { Levels = [level with { Formats = [format] }] }, "f")];

        string table = blocks.OfType<TableBlock>().Single(t => t.Caption == "What the camera will show").Rows[0][^1].Text;
        string below = string.Join(" ", blocks.OfType<ListBlock>().SelectMany(l => l.Items));
        Assert.StartsWith("Reason number 1 is told.", table, StringComparison.Ordinal);
        Assert.Equal(reasons > 1, table.EndsWith("More below.", StringComparison.Ordinal));
        for (int i = 2; i <= reasons; i++)
        {
            Assert.DoesNotContain($"Reason number {i}", table, StringComparison.Ordinal);
            Assert.Contains($"Reason number {i} is told.", below, StringComparison.Ordinal);
        }
        Assert.DoesNotContain("Reason number 1", below, StringComparison.Ordinal);
    }
}
