using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Room;
using RoomFigure = FlickerProbe.Files.Results.RoomFigure;

namespace FlickerProbe.Tests.Reports;

/// <summary>What people in the room may notice: each thing said once, in tables that leave the columns their width.</summary>
public class RoomSectionTests
{
    private static FixtureResult Fixture(string name, params (double? Dimmer, RoomFigure Figure)[] figures) => new()
    {
        Name = name,
        Verdict = "watch",
        Reasons = [],
        Levels = [.. figures.Select(f => new LevelResult
        {
            Dimmer = f.Dimmer, Verdict = "watch", Formats = [], Takes = [], Room = new RoomResult([f.Figure]),
            Light = new LightResult { CandidatesHz = [], Components = [] },
        })],
    };

    private static RoomFigure Figure(string metric, double? value, string source, string remark) => new(metric, value, "1", 0.4, source, $"{RoomView.NotATest} {remark}");

    private static Block[] Build(params FixtureResult[] fixtures) => [.. RoomSection.Build(fixtures)];

    [Fact]
    public void What_shares_a_source_shares_a_table_and_says_its_doubt_once()
    {
        Block[] blocks = Build(
            Fixture("Left", (0.5, Figure("Visibility", 0.21, "Standard A", "Unseen tones are left out."))),
            Fixture("Right", (0.5, Figure("Visibility", null, "Standard A", "Unseen tones are left out."))));

        TableBlock table = Assert.Single(blocks.OfType<TableBlock>());
        Assert.Contains("Standard A", table.Caption, StringComparison.Ordinal);
        Assert.Equal([["Visibility", "Left", "0.21 at 50 %", "0.4"], ["Visibility", "Right", "can't be told", "0.4"]], table.Rows.Select(row => row.Select(c => c.Text).ToArray()).ToArray());
        Assert.Single(blocks.OfType<TextBlock>(), t => t.Text.Contains("Unseen tones", StringComparison.Ordinal));
        Assert.Single(blocks.OfType<TextBlock>(), t => t.Text.Contains(RoomView.NotATest, StringComparison.Ordinal));
    }

    [Fact]
    public void Doubts_of_their_own_stand_in_their_lines()
    {
        TableBlock table = Assert.Single(Build(
            Fixture("Left", (null, Figure("Flicker", 1, "Standard A", "Good to 6 %."))),
            Fixture("Right", (null, Figure("Flicker", 2, "Standard A", "Good to 9 %.")))).OfType<TableBlock>());
        Assert.Equal(["Good to 6 %.", "Good to 9 %."], table.Rows.Select(row => row[^1].Text));
    }

    [Fact]
    public void Each_figure_is_given_at_the_level_where_it_is_largest_and_each_source_has_its_table()
    {
        Block[] blocks = Build(Fixture("Left",
            (1.0, Figure("Visibility", 0.1, "Standard A", "")), (0.1, Figure("Visibility", 0.3, "Standard A", "")), (0.1, Figure("Flicker", 0.2, "Standard B", ""))));
        Assert.Equal(["0.3 at 10 %", "0.2 at 10 %"], blocks.OfType<TableBlock>().Select(t => Assert.Single(t.Rows)[2].Text));
    }

    [Fact]
    public void Without_figures_there_is_no_section() => Assert.Empty(Build(Fixture("Left")));
}
