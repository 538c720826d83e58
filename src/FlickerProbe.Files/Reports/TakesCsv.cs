using System.Text;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;
using static FlickerProbe.Files.Reports.CsvCells;

namespace FlickerProbe.Files.Reports;

/// <summary>The takes as a table for a spreadsheet: one row for each take and tone, one for a take without tones. UTF-8, comma, decimal point (RFC 4180).</summary>
public static class TakesCsv
{
    private static readonly string[] Heading =
    [
        "fixture", "dimmer_percent", "level_verdict", "clip", "sha256", "frame_rate_fps", "frames", "exposure_s", "readout_s",
        "region_x_px", "region_y_px", "region_width_px", "region_height_px", "level_mean_percent", "level_peak_percent", "clipped_percent", "dark_percent",
        "depth_percent", "depth_low_percent", "depth_high_percent", "detection_limit_percent",
        "tone", "alias_hz", "frequency_hz", "frequency_low_hz", "frequency_high_hz", "candidates_hz", "amplitude_percent", "amplitude_low_percent", "amplitude_high_percent", "warnings",
    ];

    /// <summary>The table as text.</summary>
    public static string Write(ResultDocument document)
    {
        StringBuilder text = new();
        Row(text, Heading);
        foreach (FixtureResult fixture in document.Fixtures)
        {
            foreach (LevelResult level in fixture.Levels)
            {
                foreach (TakeResult take in level.Takes)
                {
                    string[] common = Common(fixture, level, take);
                    string warnings = Text(string.Join(" ", take.Warnings.Select(warning => warning.Code)));
                    if (take.Tones.Count == 0) Row(text, [.. common, .. Enumerable.Repeat("", 9), warnings]);
                    for (int i = 0; i < take.Tones.Count; i++) Row(text, [.. common, .. Tone(i + 1, take.Tones[i]), warnings]);
                }
            }
        }
        return text.ToString();
    }

    private const int MostListed = 100;

    private static string[] Common(FixtureResult fixture, LevelResult level, TakeResult take) =>
    [
        Text(fixture.Name), Number(level.Dimmer * 100), Text(level.Verdict), Text(take.Clip), Text(take.Sha256), Text(take.FrameRate ?? ""), Number(take.Frames),
        Number(take.ExposureTime), Number(take.ReadoutTime),
        Number(take.Region.X), Number(take.Region.Y), Number(take.Region.Width), Number(take.Region.Height),
        Number(take.Level.Mean * 100), Number(take.Level.Peak * 100), Number(take.Level.Clipped * 100), Number(take.Level.Dark * 100),
        .. Percent(take.ModulationDepth), Number(take.DetectionLimit * 100),
    ];

    private static string[] Tone(int number, ToneResult tone) =>
    [
        Number(number), Number(tone.AliasHz), .. Three(tone.FrequencyHz), Candidates(tone.CandidatesHz), .. Percent(tone.Amplitude),
    ];

    // A spreadsheet's cell has an end.
    private static string Candidates(IReadOnlyList<double> hertz) => string.Join(" ", hertz.Take(MostListed).Select(h => Number(h)))
        + (hertz.Count > MostListed ? FormattableString.Invariant($" … {hertz.Count} in all, up to {hertz[^1]:0.#}") : "");

    private static string[] Percent(Estimate? ratio) => Three(ratio?.Scale(100));

    private static string[] Three(Estimate? estimate) => [Number(estimate?.Value), Number(estimate?.Low), Number(estimate?.High)];
}
