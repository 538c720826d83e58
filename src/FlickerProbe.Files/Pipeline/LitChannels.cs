using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Which primaries of a light are lit at all, and what measuring them by themselves means for the take.</summary>
/// <remarks>White light is measured by its primaries too: it may be mixed from emitters with a driver each, and blue, which is 7 % of the luminance, can
/// flicker far over any line before luma shows it.</remarks>
internal static class LitChannels
{
    /// <summary>Share of the brightest primary's linear light from which a primary counts as lit: the project's own choice. What is fainter still
    /// counts in luminance.</summary>
    private const double LitFrom = 0.05;

    /// <summary>Spread (largest − smallest) / largest of the mean linear primaries from which light counts as coloured: daylight and tungsten whites as
    /// cameras balance them stay well under it. The project's own choice; no published source.</summary>
    private const double ColouredFrom = 0.35;

    /// <summary>Share of the depth that fewer rows of colour may cost white light without a word: the project's own choice.</summary>
    private const double WorthAWord = 0.02;

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

    /// <summary>What is to be said where the recording has colours that were not measured unasked; null where there is nothing to say.</summary>
    public static Finding? Unmeasured(ColourMode mode, ClipInfo info, IReadOnlyList<Region> regions) =>
        mode != ColourMode.Auto || info.Pixels.Model == ColourModel.Grey || !IsTooLong(info, regions)
            ? null
            : new Finding(FindingCodes.ColoursUnmeasured, "The clip is too long to measure red, green and blue by themselves unasked, and one colour of a mixed white can flicker unseen in its brightness: measure a minute of it, or give --colour on.")
            {
                ForbidsPass = true,
            };

    private static bool IsTooLong(ClipInfo info, IReadOnlyList<Region> regions) =>
        regions.Sum(r => (long)info.Orientation.ToCoded(r, info.Width, info.Height).Height) * info.Packets * sizeof(float) * 2 * 4 > MostBytesUnasked;

    /// <summary>Numbers of the lit ones: 0 red, 1 green, 2 blue. None where the recording holds no colour at all: then luma says everything.</summary>
    public static IReadOnlyList<int> Of(IReadOnlyList<SampledTake> channels)
    {
        if (channels.Skip(1).All(c => AreEqual(c.Traces, channels[0].Traces))) return [];
        double[] light = [.. channels.Select(MeanLight)];
        return [.. Enumerable.Range(0, channels.Count).Where(n => light[n] >= LitFrom * light.Max())];
    }

    /// <summary>Whether the light is coloured, so that what its colours cost is worth a word.</summary>
    private static bool IsColoured(IReadOnlyList<SampledTake> channels)
    {
        double[] light = [.. channels.Select(MeanLight)];
        return light.Max() > 0 && (light.Max() - light.Min()) / light.Max() >= ColouredFrom;
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
    public static TakeMeasurement Beside(TakeMeasurement luma, IReadOnlyList<MeasuredChannel> channels, IReadOnlyList<SampledTake> sampled, ClipInfo info)
    {
        if (channels.Count == 0) return luma;
        bool bright = channels.Any(c => !c.Measurement.Findings.Any(f => f.Code == FindingCodes.Dark));
        List<Finding> findings = [.. luma.Findings.Where(f => !bright || f.Code != FindingCodes.Dark)];
        if (RowsFinding(info, channels, IsColoured(sampled)) is { } rows) findings.Add(rows);
        return luma with { Findings = findings };
    }

    /// <summary>What colour samples that span several rows cost, for the part of a colour that lies in the difference alone (nearly all of blue).</summary>
    /// <remarks>A tone of ν cycles a row is lowered by the mean over n rows to sin(πnν)/(πnν), and by the straight lines between the samples, for n = 2, to
    /// (3 cos πν + cos 3πν)/4 (Fourier transforms of a box and of the weights 1, 3, 3, 1 eighths).</remarks>
    private static Finding? RowsFinding(ClipInfo info, IReadOnlyList<MeasuredChannel> channels, bool coloured)
    {
        if (info.Pixels.Model != ColourModel.LumaAndDifference || info.Pixels.DifferenceRowShift == 0) return null;
        int span = 1 << info.Pixels.DifferenceRowShift;
        Tone[] tones = [.. channels.SelectMany(c => c.Measurement.Tones)];
        double strongest = tones.Select(t => t.Amplitude.Value).DefaultIfEmpty(0).Max();
        double bands = tones.Where(t => t.Amplitude.Value >= 0.2 * strongest).Select(t => Math.Abs(t.BandsPerHeight.Value)).DefaultIfEmpty(0).Max();
        double nu = bands / info.Height * (span / 2.0), loss = 1 - ExposureGain.At(2 * nu, 1) * (3 * Math.Cos(Math.PI * nu) + Math.Cos(3 * Math.PI * nu)) / 4;
        // Of white light it is only worth a word where it costs something.
        if (!coloured && loss < WorthAWord) return null;
        string cost = bands == 0
            ? string.Create(CultureInfo.InvariantCulture, $"bands of fewer than {4 * span} rows fade in one colour alone")
            : string.Create(CultureInfo.InvariantCulture, $"with {bands:0.#} bands over the picture that lowers the depth in one colour by up to {loss * 100:0.##} % of itself");
        return new Finding(FindingCodes.ColourRows, $"Colour was recorded once for every {span} rows (4:2:0): {cost}; record 4:2:2 to lose none.")
        {
            // Past a tenth the depth in one colour is no longer what it says.
            ForbidsPass = loss > 0.1,
        };
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
