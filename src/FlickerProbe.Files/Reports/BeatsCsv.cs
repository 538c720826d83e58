using System.Globalization;
using System.Text;
using FlickerProbe.Files.Results;
using FlickerProbe.Prediction;
using static FlickerProbe.Files.Reports.CsvCells;

namespace FlickerProbe.Files.Reports;

/// <summary>The beat table for a spreadsheet: each fixture's tones against the frame rates of the trade, every candidate where the frequency is open.</summary>
public static class BeatsCsv
{
    /// <summary>The table as text; only its heading where no tone was found.</summary>
    public static string Write(ResultDocument document)
    {
        StringBuilder text = new();
        Row(text, ["fixture", "dimmer_percent", "state", "light_hz", "frame_rate_fps", "beat_hz", "repeats_every_s"]);
        foreach (FixtureResult fixture in document.Fixtures)
        {
            foreach (LevelResult level in fixture.Levels)
            {
                foreach (ComponentResult component in level.Light.Components)
                {
                    IEnumerable<double> frequencies = component.CandidatesHz.Count > 1 ? component.CandidatesHz : [component.FrequencyHz.Value];
                    foreach (Beat beat in BeatTable.Of(frequencies, StandardSettings.Rates))
                    {
                        Row(text, [Text(fixture.Name), Number(level.Dimmer * 100), component.State, Number(beat.FrequencyHz), beat.Rate.ToString(),
                            beat.AliasHz.ToString("0.######", CultureInfo.InvariantCulture), beat.PeriodSeconds?.ToString("0.###", CultureInfo.InvariantCulture) ?? ""]);
                    }
                }
            }
        }
        return text.ToString();
    }
}
