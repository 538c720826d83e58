using FlickerProbe.Camera;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>How much the mean of the whole picture pulses between 2 and 30 Hz, where the eye is most sensitive to it.</summary>
/// <remarks>A rolling readout averages a tone over its rows and leaves |sinc(f T_r)| of it in the frame's mean; a global one leaves all.
/// Check by simulation: see the tests.</remarks>
internal static class WholePicturePulsing
{
    /// <summary>Slowest beat that counts, hertz.</summary>
    public const double SlowestHz = 2;

    /// <summary>Fastest beat that counts, hertz.</summary>
    public const double FastestHz = 30;

    /// <summary>Depth of the pulsing; tones meet at the worst phase.</summary>
    /// <param name="pieces">What the format records.</param>
    /// <param name="format">The format.</param>
    /// <param name="hidden">What may be there unseen; added to the upper end.</param>
    public static Estimate Depth(IEnumerable<LightPiece> pieces, CameraFormat format, double hidden)
    {
        double value = 0, low = 0, high = 0;
        foreach (LightPiece piece in pieces)
        {
            // Candidates of one tone exclude each other: the worst of them counts, tones of a group add up.
            if (piece is LooseTone)
            {
                Estimate[] candidates = [.. piece.Tones.Select(t => Of(t, format))];
                value += candidates.Max(c => c.Value);
                low += candidates.Min(c => c.Low);
                high += candidates.Max(c => c.High);
                continue;
            }
            foreach (CameraTone tone in piece.Tones)
            {
                Estimate share = Of(tone, format);
                value += share.Value;
                low += share.Low;
                high += share.High;
            }
        }
        return new Estimate(Min(1, value), Min(1, low), Min(1, high + hidden));
    }

    private static Estimate Of(CameraTone tone, CameraFormat format)
    {
        if (format.Rate.IsStandIn) return new Estimate(0, 0, tone.Absolute.High * RowShare(tone.FrequencyHz.Value, format).Most); // any beat is possible
        double alias = AliasFrequency.Of(tone.FrequencyHz.Value, format.Rate);
        double width = tone.FrequencyHz.LongerSide;
        if (Abs(alias) + width < SlowestHz || Abs(alias) - width > FastestHz) return default;

        (double share, double least, double most) = RowShare(tone.FrequencyHz.Value, format);
        Estimate amplitude = tone.Absolute;
        bool isInside = Abs(alias) is >= SlowestHz and <= FastestHz;
        bool isSurelyInside = Abs(alias) - width >= SlowestHz && Abs(alias) + width <= FastestHz;
        return new Estimate(isInside ? amplitude.Value * share : 0, isSurelyInside ? amplitude.Low * least : 0, amplitude.High * most);
    }

    /// <summary>The share of a tone left in the mean over all rows: best value, least and most.</summary>
    private static (double Share, double Least, double Most) RowShare(double frequency, CameraFormat format)
    {
        if (format.Readout is { } readout)
        {
            double bands = frequency * Abs(readout.Seconds), spread = Estimate.Coverage95 * readout.RelativeDeviation;
            GainRange range = GainRange.Over(bands * (1 - spread), bands * (1 + spread));
            double least = range is { Low: <= 0, High: >= 0 } ? 0 : Min(Abs(range.Low), Abs(range.High));
            return (Abs(GainRange.Sinc(bands)), least, range.LargestMagnitude);
        }
        // Unknown: any readout from a fast sensor's to the whole frame; the worst of them stands for all.
        GainRange all = GainRange.Over(frequency * Min(HiddenBound.ShortestReadoutSeconds, format.Rate.PeriodSeconds), frequency * format.Rate.PeriodSeconds);
        return (all.LargestMagnitude, 0, all.LargestMagnitude);
    }
}
