using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Which primaries of a light are lit at all, and what measuring them by themselves means for the take.</summary>
/// <remarks>White light is measured by its primaries too: it may be mixed from emitters with a driver each, and blue, which is 7 % of the luminance, can
/// flicker far over any line before luma shows it.</remarks>
/// <param name="Numbers">The lit ones: 0 red, 1 green, 2 blue. None where the recording holds no colour at all: then luma says everything.</param>
/// <param name="AreColoured">Whether the light is coloured, so that what its colours cost is worth a word.</param>
internal sealed record LitChannels(IReadOnlyList<int> Numbers, bool AreColoured)
{
    /// <summary>Share of the brightest primary's linear light from which a primary counts as lit: the project's own choice. What is fainter still
    /// counts in luminance.</summary>
    private const double LitFrom = 0.05;

    /// <summary>Spread (largest − smallest) / largest of the mean linear primaries from which light counts as coloured: daylight and tungsten whites as
    /// cameras balance them stay well under it. The project's own choice; no published source.</summary>
    private const double ColouredFrom = 0.35;

    /// <summary>Bytes of traces of luma and the primaries, in two strips, up to which they are measured unasked: some nine minutes of 1080 rows at 60 frames per
    /// second.</summary>
    private const long MostBytesUnasked = 1L << 30;

    /// <summary>Whether the primaries are to be sampled.</summary>
    /// <param name="mode">What was asked for.</param>
    /// <param name="info">The clip.</param>
    /// <param name="regions">The regions to be measured, displayed pixels.</param>
    public static bool AreWanted(ColourMode mode, ClipInfo info, IReadOnlyList<Region> regions) => mode switch
    {
        ColourMode.On => true,
        ColourMode.Off => false,
        _ => info.Pixels.Model != ColourModel.Grey && !IsTooLong(info, regions),
    };

    /// <summary>What is to be said where the recording has colours that were not measured; null where there is nothing to say. Whoever switched them off knows what the
    /// light is made of; who reads the report may not.</summary>
    public static Finding? Unmeasured(ColourMode mode, ClipInfo info, IReadOnlyList<Region> regions) =>
        info.Pixels.Model == ColourModel.Grey || AreWanted(mode, info, regions) ? null
            : mode == ColourMode.Off ? new Finding(FindingCodes.ColoursUnmeasured, "As asked, brightness alone was measured: one colour of a mixed white can flicker unseen in it, so this speaks for fixtures whose colours share one driver.")
            : new Finding(FindingCodes.ColoursUnmeasured, "The clip is too long to measure red, green and blue by themselves unasked, and one colour of a mixed white can flicker unseen in its brightness: measure a minute of it, or give --colour on.")
            {
                ForbidsPass = true,
            };

    private static bool IsTooLong(ClipInfo info, IReadOnlyList<Region> regions) =>
        regions.Sum(r => ClipReader.TraceBytes(info.Orientation.ToCoded(r, info.Width, info.Height).Height, info, ClipReader.FewStrips, colour: true)) > MostBytesUnasked;

    /// <summary>Looks at the primaries of a region; none where they were not sampled.</summary>
    public static LitChannels Of(IReadOnlyList<SampledTake> channels)
    {
        if (channels.Skip(1).All(c => AreEqual(c.Traces, channels[0].Traces))) return new([], false);
        double[] light = [.. channels.Select(MeanLight)];
        double most = light.Max();
        return new([.. Enumerable.Range(0, channels.Count).Where(n => light[n] >= LitFrom * most)], most > 0 && (most - light.Min()) / most >= ColouredFrom);
    }

    private static bool AreEqual(RowTraces one, RowTraces other)
    {
        for (int strip = 0; strip < one.Strips; strip++)
        {
            if (!one.Strip(strip).SequenceEqual(other.Strip(strip))) return false;
        }
        return true;
    }

    /// <summary>The luma measurement as it stands beside the channels: dark luma is no fault where a primary is well exposed (full blue has a luma of
    /// 7 %), and what it costs that colour has fewer rows is said.</summary>
    public TakeMeasurement Beside(TakeMeasurement luma, IReadOnlyList<MeasuredChannel> channels, ClipInfo info)
    {
        if (channels.Count == 0) return luma;
        bool bright = channels.Any(c => !c.Measurement.Findings.Any(f => f.Code == FindingCodes.Dark));
        List<Finding> findings = [.. luma.Findings.Where(f => !bright || f.Code != FindingCodes.Dark)];
        if (ColourRows.Finding(info, channels, AreColoured) is { } rows) findings.Add(rows);
        return luma with { Findings = findings };
    }

    private static double MeanLight(SampledTake take)
    {
        double sum = 0;
        for (int strip = 0; strip < take.Traces.Strips; strip++)
        {
            ReadOnlySpan<float> light = take.Traces.Strip(strip);
            double strips = 0;
            foreach (float value in light) strips += value;
            sum += strips / light.Length / take.Traces.Strips;
        }
        return sum;
    }
}
