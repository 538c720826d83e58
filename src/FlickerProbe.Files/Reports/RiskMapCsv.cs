using System.Text;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using static FlickerProbe.Files.Reports.CsvCells;

namespace FlickerProbe.Files.Reports;

/// <summary>The risk maps for a spreadsheet: the largest depth to expect at each frame rate and shutter, one row a cell.</summary>
public static class RiskMapCsv
{
    /// <summary>The table as text; null where no fixture has a map.</summary>
    public static string? Write(ResultDocument document)
    {
        if (document.Fixtures.All(f => f.RiskGrid is null)) return null;
        StringBuilder text = new();
        Row(text, ["fixture", "frame_rate_fps", "shutter", "depth_at_most_percent", "verdict"]);
        foreach (FixtureResult fixture in document.Fixtures)
        {
            if (fixture.RiskGrid is not { } grid) continue;
            for (int rate = 0; rate < grid.FrameRates.Count; rate++)
            {
                for (int shutter = 0; shutter < grid.Exposures.Count; shutter++)
                {
                    // A shutter longer than the frame has no cell.
                    if (grid.Verdicts[rate, shutter] is { } verdict)
                        Row(text, [Text(fixture.Name), Text(grid.FrameRates[rate]), Text(grid.Exposures[shutter]), Number(grid.DepthHigh[rate, shutter] * 100), Text(verdict)]);
                }
            }
        }
        return text.ToString();
    }
}
