using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Reports;

/// <summary>The pictures of one take, as far as their data are at hand.</summary>
internal static class TakeFigures
{
    public static IReadOnlyList<Figure> Of(TakeResult take, int number, IReadOnlyList<(int Number, string Fixture, TakeResult Take)> regionsOfClip)
    {
        List<Figure> figures = [];
        if (take.Pictures is { StillWidth: > 0, StillHeight: > 0 } pictures)
        {
            figures.Add(Figure.OfPixels(
                "frame",
                $"A frame of the clip; this take's region is number {number}.",
                () => StillPicture.Draw(pictures.StillPng, pictures.StillWidth, pictures.StillHeight, regionsOfClip.Select(entry => (entry.Number, entry.Take.Region)).ToList()),
                KeptFigures.KeyOf(pictures, regionsOfClip.Select(entry => (entry.Number, entry.Take.Region)))));
        }
        if (take.Pictures?.Exhibit is { } exhibit)
        {
            // As pixels: inside SVG the picture library would store it uncompressed.
            figures.Add(Figure.OfPixels(
                "bands", "Each column is one frame, each row one row of the region; slanted stripes are rolling bands, upright ones pulsing.", () => BandPlot.Draw(exhibit).ToPng(),
                KeptFigures.KeyOf(exhibit)));
        }
        if (take.Waveform.Count > 1)
            figures.Add(Figure.Of("waveform", "The strongest flicker over one of its periods, as the rows saw it; shaded: 95 % interval.", WaveformPlot.Draw(take.Waveform, take.WaveformHalfWidth, PeriodSeconds(take))));
        if (take.Tones.Count > 0 || take.Pictures?.Exhibit is not null)
            figures.Add(Figure.Of("spectrum", "What was found at which frequency; below the dashed line this recording could show nothing.", Spectrum(take)));
        figures.Add(Figure.Of(
            "level", "How bright each region was recorded. Faces are commonly exposed to 50–80 % (common practice).",
            LevelScopePlot.Draw(regionsOfClip.Select(entry => (FormattableString.Invariant($"{entry.Number} {entry.Fixture}"), entry.Take.Level)).ToList())));
        figures.AddRange((take.Pictures?.Extras ?? []).Select(extra => Figure.OfPixels(extra.Slug, Words.Clean(extra.Caption), () => extra.Png)));
        return figures;
    }

    /// <summary>Period of the strongest tone's group, seconds; null while its frequency is open.</summary>
    internal static double? PeriodSeconds(TakeResult take)
    {
        ToneResult? strongest = take.Tones.Count > 0 ? take.Tones[0] : null;
        return strongest?.FrequencyHz is { Value: > 0 } hertz ? Math.Max(1, strongest.HarmonicNumber ?? 1) / hertz.Value : null;
    }

    private static Plot Spectrum(TakeResult take)
    {
        bool inHertz = take.Pictures?.Exhibit?.SpectrumIsInHertz ?? take.Tones.All(tone => tone.FrequencyHz is not null);
        List<MarkedTone> marks = [];
        foreach (ToneResult tone in take.Tones)
        {
            double? place = inHertz
                ? tone.FrequencyHz?.Value ?? (take.ReadoutTime is { } readout && readout != 0 ? Math.Abs(tone.BandsPerHeight ?? double.NaN) / Math.Abs(readout) : null)
                : Math.Abs(tone.BandsPerHeight ?? double.NaN);
            if (place is not { } at || !double.IsFinite(at)) continue;
            string label = tone.FrequencyHz is { } hertz ? SpectrumPlot.Hertz(hertz.Value) : inHertz ? "near " + SpectrumPlot.Hertz(at) : FormattableString.Invariant($"{at:0.#} bands");
            marks.Add(new MarkedTone(at, tone.Amplitude.Value, label));
        }
        return SpectrumPlot.Draw(take.Pictures?.Exhibit, marks, take.DetectionLimit, inHertz);
    }
}
