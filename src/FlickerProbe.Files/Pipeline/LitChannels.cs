using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Which primaries of a coloured light are lit at all, and what measuring them by themselves means for the take.</summary>
internal static class LitChannels
{
    /// <summary>Share of the brightest primary's linear light from which a primary counts as lit: the project's own choice. What is fainter still
    /// counts in luminance.</summary>
    private const double LitFrom = 0.05;

    /// <summary>Numbers of the lit ones: 0 red, 1 green, 2 blue.</summary>
    public static IEnumerable<int> Of(IReadOnlyList<SampledTake> channels)
    {
        double[] light = [.. channels.Select(MeanLight)];
        return Enumerable.Range(0, channels.Count).Where(n => light[n] >= LitFrom * light.Max());
    }

    /// <summary>The luma measurement as it stands beside the channels: dark luma is no fault where a primary is well exposed (full blue has a luma of
    /// 7 %), and what it costs that colour has fewer rows is said.</summary>
    public static TakeMeasurement Beside(TakeMeasurement luma, IReadOnlyList<MeasuredChannel> channels, ClipInfo info)
    {
        if (channels.Count == 0) return luma;
        bool bright = channels.Any(c => !c.Measurement.Findings.Any(f => f.Code == FindingCodes.Dark));
        List<Finding> findings = [.. luma.Findings.Where(f => !bright || f.Code != FindingCodes.Dark)];
        if (RowsFinding(info, channels) is { } rows) findings.Add(rows);
        return luma with { Findings = findings };
    }

    /// <summary>What colour samples that span several rows cost, for the part of a colour that lies in the difference alone (nearly all of blue).</summary>
    /// <remarks>A tone of ν cycles a row is lowered by the mean over n rows to sin(πnν)/(πnν), and by the straight lines between the samples, for n = 2, to
    /// (3 cos πν + cos 3πν)/4 (Fourier transforms of a box and of the weights 1, 3, 3, 1 eighths).</remarks>
    private static Finding? RowsFinding(ClipInfo info, IReadOnlyList<MeasuredChannel> channels)
    {
        if (info.Pixels.Model != ColourModel.LumaAndDifference || info.Pixels.DifferenceRowShift == 0) return null;
        int span = 1 << info.Pixels.DifferenceRowShift;
        Tone[] tones = [.. channels.SelectMany(c => c.Measurement.Tones)];
        double strongest = tones.Select(t => t.Amplitude.Value).DefaultIfEmpty(0).Max();
        double bands = tones.Where(t => t.Amplitude.Value >= 0.2 * strongest).Select(t => Math.Abs(t.BandsPerHeight.Value)).DefaultIfEmpty(0).Max();
        double nu = bands / info.Height * (span / 2.0), loss = 1 - ExposureGain.At(2 * nu, 1) * (3 * Math.Cos(Math.PI * nu) + Math.Cos(3 * Math.PI * nu)) / 4;
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
