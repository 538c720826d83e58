using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Tests.Reports;

/// <summary>The tables beside the report.</summary>
public sealed class TablesCsvTests
{
    /// <summary>Sampling theorem, worked: 120 Hz at 30000/1001 beats at 120/1001 Hz every 8.3417 s; at 25 it runs back at 5 Hz; at 30 it stands.</summary>
    [Fact]
    public void Beats_name_every_rate_with_the_alias_that_sampling_leaves()
    {
        string[] rows = BeatsCsv.Write(With120Hz()).Split("\r\n");
        Assert.Contains("'=Wash,50,resolved,120,30000/1001,0.11988,8.342", rows);
        Assert.Contains("'=Wash,50,resolved,120,25,-5,0.2", rows);
        Assert.Contains("'=Wash,50,resolved,120,30,0,", rows);
        Assert.Equal(1 + 13 + 1, rows.Length);
    }

    [Fact]
    public void An_open_frequency_has_a_beat_for_every_candidate()
    {
        ResultDocument document = With120Hz();
        LevelResult level = document.Fixtures[0].Levels[0];
        level = level with { Light = level.Light with { Components = [level.Light.Components[0] with { State = "ambiguous", CandidatesHz = [100, 125] }] } };
        string[] rows = BeatsCsv.Write(document with { Fixtures = [document.Fixtures[0] with { Levels = [level] }] }).Split("\r\n");
        Assert.Equal(1 + 2 * 13 + 1, rows.Length);
        Assert.Contains("'=Wash,50,ambiguous,125,30000/1001,5.11988,0.195", rows);
        Assert.Contains("'=Wash,50,ambiguous,100,25,0,", rows);
    }

    [Fact]
    public void The_risk_table_has_a_row_for_each_cell_of_the_map_and_none_without_one()
    {
        ResultDocument document = With120Hz();
        Assert.Null(RiskMapCsv.Write(document));
        var grid = new RiskGrid(["25"], ["1/50 s", "1/20 s"], new double?[,] { { 0.004, null } }, new string?[,] { { "pass", null } });
        string table = RiskMapCsv.Write(document with { Fixtures = [document.Fixtures[0] with { RiskGrid = grid }] })!;
        Assert.Equal("fixture,frame_rate_fps,shutter,depth_at_most_percent,verdict\r\n'=Wash,25,1/50 s,0.4,pass\r\n", table);
    }

    private static ResultDocument With120Hz()
    {
        ResultDocument sample = SampleDocuments.SingleClip();
        FixtureResult fixture = sample.Fixtures[0];
        LevelResult level = fixture.Levels[0] with { Dimmer = 0.5 };
        var tone = new ComponentResult(global::FlickerProbe.Units.Estimate.Exactly(120), global::FlickerProbe.Units.Estimate.Exactly(0.1), "resolved") { CandidatesHz = [120] };
        level = level with { Light = level.Light with { Components = [tone] } };
        // A name that a spreadsheet would take for a formula.
        return sample with { Fixtures = [fixture with { Name = "=Wash", RiskGrid = null, Levels = [level] }] };
    }
}
