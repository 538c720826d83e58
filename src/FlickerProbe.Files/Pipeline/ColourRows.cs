using System.Globalization;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Pipeline;

/// <summary>What colour samples that span several rows (4:2:0) cost, for the part of a colour that lies in the difference alone (nearly all of blue).</summary>
/// <remarks>A tone of ν cycles a row is lowered by the mean over n rows to sin(πnν)/(n sin πν), and by the straight lines between the samples, for n = 2, to
/// (3 cos πν + cos 3πν)/4 (Fourier transforms of n equal weights and of the weights 1, 3, 3, 1 eighths). A colour of which a part lies in luma as well loses less, and what one
/// colour loses appears in the others, since luma keeps it: so the intervals are widened, and no value is changed.</remarks>
internal static class ColourRows
{
    /// <summary>Share of the depth that fewer rows of colour may cost white light without a word: the project's own choice.</summary>
    private const double WorthAWord = 0.02;

    /// <summary>The largest loss that an interval is widened for: past it the colours are of no use, and a pass is forbidden long before.</summary>
    private const double MostLoss = 0.5;

    /// <summary>The finding; null where colour has all rows, or where it costs white light nothing.</summary>
    /// <param name="info">The clip.</param>
    /// <param name="channels">The primaries, measured.</param>
    /// <param name="coloured">Whether the light is coloured.</param>
    public static Finding? Finding(ClipInfo info, IReadOnlyList<MeasuredChannel> channels, bool coloured)
    {
        if (Span(info) == 1) return null;
        double bands = MostBands(channels), loss = Loss(bands, info);
        if (!coloured && loss < WorthAWord) return null;
        string cost = bands == 0
            ? string.Create(CultureInfo.InvariantCulture, $"bands of fewer than {4 * Span(info)} rows fade in one colour alone")
            : string.Create(CultureInfo.InvariantCulture, $"with {bands:0.#} bands over the picture that lowers the depth in one colour by up to {loss * 100:0.##} % of itself");
        return new Finding(FindingCodes.ColourRows, $"Colour was recorded once for every {Span(info)} rows (4:2:0): {cost}; record 4:2:2 to lose none.")
        {
            // Past a tenth the depth in one colour is no longer what it says.
            ForbidsPass = loss > 0.1,
        };
    }

    /// <summary>The primaries with intervals that hold what the rows may have cost.</summary>
    public static IReadOnlyList<MeasuredChannel> Widened(ClipInfo info, IReadOnlyList<MeasuredChannel> channels)
    {
        if (Span(info) == 1) return channels;
        double strongest = Strongest(channels.SelectMany(c => c.Measurement.Tones));
        double deepest = channels.Select(c => c.Measurement.ModulationDepth?.Value ?? 0).DefaultIfEmpty(0).Max(), atMost = Loss(MostBands(channels), info);
        return [.. channels.Select(c => c with
        {
            Measurement = c.Measurement with
            {
                ModulationDepth = c.Measurement.ModulationDepth is { } depth ? Wider(depth, atMost, deepest).Within(0, 1) : null,
                Tones = [.. c.Measurement.Tones.Select(t => Loss(t.BandsPerHeight.Value, info) is var loss && loss > 0
                    ? t with { Amplitude = Wider(t.Amplitude, loss, strongest), Parts = [.. t.Parts, .. UncertaintyPart.List(("rows of colour", loss * strongest))] }
                    : t)],
            },
        })];
    }

    private static Estimate Wider(Estimate seen, double loss, double most) =>
        new(seen.Value, Math.Max(0, seen.Low - loss * most), Math.Max(seen.High, Math.Min(2, seen.High + loss / (1 - loss) * most)));

    private static int Span(ClipInfo info) => info.Pixels.Model == ColourModel.LumaAndDifference ? 1 << info.Pixels.DifferenceRowShift : 1;

    /// <summary>Share of itself that a tone loses in the difference, 0…0.5.</summary>
    private static double Loss(double bandsPerHeight, ClipInfo info)
    {
        int span = Span(info);
        double row = Math.PI * Math.Abs(bandsPerHeight) / info.Height, line = row * span / 2;
        double mean = Math.Sin(row) == 0 ? 1 : Math.Sin(span * row) / (span * Math.Sin(row));
        return Math.Clamp(1 - mean * (3 * Math.Cos(line) + Math.Cos(3 * line)) / 4, 0, MostLoss);
    }

    private static double Strongest(IEnumerable<Tone> tones) => tones.Select(t => t.Amplitude.Value).DefaultIfEmpty(0).Max();

    /// <summary>The finest bands among the strong tones.</summary>
    private static double MostBands(IReadOnlyList<MeasuredChannel> channels)
    {
        Tone[] tones = [.. channels.SelectMany(c => c.Measurement.Tones)];
        double strongest = Strongest(tones);
        return tones.Where(t => t.Amplitude.Value >= 0.2 * strongest).Select(t => Math.Abs(t.BandsPerHeight.Value)).DefaultIfEmpty(0).Max();
    }
}
