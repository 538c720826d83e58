using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Planning;

/// <summary>Which true frequencies the takes of one camera leave open.</summary>
internal static class OpenFrequencies
{
    /// <summary>Highest frequency thought of, hertz.</summary>
    private const double Highest = 30_000;

    /// <summary>A rolling readout is hardly ever faster than this, seconds (measurement model, "Which k?").</summary>
    private const double FastestReadout = 0.002;

    /// <summary>Readout assumed for planning where it is unknown, as a share of the frame period.</summary>
    private const double TypicalReadoutShare = 0.6;

    /// <summary>Bands down the picture are counted to about this.</summary>
    private const double BandDoubt = 0.03;

    /// <summary>Whether takes at these rates leave exactly one frequency.</summary>
    /// <param name="frequencyHz">The true frequency.</param>
    /// <param name="rates">Rates of the takes in which the light shows.</param>
    /// <param name="readout">What is known of the camera's readout.</param>
    internal static bool OneRemains(double frequencyHz, IReadOnlyList<FrameRate> rates, ReadoutKnowledge readout)
    {
        if (rates.Count == 0) return false;
        FrameRate first = rates.MaxBy(r => r.Hertz)!;
        (double low, double high) = Interval(frequencyHz, first, readout);
        // Two takes are minutes apart: a dimmer's crystal wanders by some parts in 10⁵ meanwhile, and each take measures to some millihertz.
        double doubt = 0.01 + 2e-5 * frequencyHz;
        // Rows tell a beat's direction. A global shutter has none, so that k·F − f looks like f as well.
        int[] directions = readout.State == ReadoutState.Global ? [1, -1] : [1];
        foreach (int direction in directions)
        {
            double start = direction * frequencyHz;
            long from = (long)Ceiling((low - start) / first.Hertz), to = (long)Floor((high - start) / first.Hertz);
            for (long k = from; k <= to; k++)
            {
                double other = start + k * first.Hertz;
                if (Abs(other - frequencyHz) > 2 * doubt && rates.All(rate => rate == first || LooksAlike(frequencyHz, other, rate, doubt, directions))) return false;
            }
        }
        return true;
    }

    private static bool LooksAlike(double a, double b, FrameRate rate, double doubt, int[] directions) =>
        directions.Any(direction => Abs(AliasFrequency.Of(b - direction * a, rate)) <= doubt);

    private static (double Low, double High) Interval(double hertz, FrameRate rate, ReadoutKnowledge readout)
    {
        switch (readout.State)
        {
            case ReadoutState.Global:
                return (1, Highest);
            case ReadoutState.Known:
                double seconds = readout.Seconds ?? TypicalReadoutShare * rate.PeriodSeconds;
                double doubt = 2 * ReadoutTime.DefaultRelativeDeviation * hertz + BandDoubt / seconds;
                return (Max(1, hertz - doubt), hertz + doubt);
            default:
                double bands = hertz * TypicalReadoutShare * rate.PeriodSeconds;
                return (Max(1, (bands - BandDoubt) / rate.PeriodSeconds), Min(Highest, (bands + BandDoubt) / FastestReadout));
        }
    }
}

/// <summary>How much is known of a readout.</summary>
internal enum ReadoutState
{
    /// <summary>Nothing but what physics allows.</summary>
    Unknown,
    /// <summary>To about half a per cent, from the user or a calibration take.</summary>
    Known,
    /// <summary>All rows at once.</summary>
    Global,
}

/// <summary>What is known of a camera's readout while planning.</summary>
/// <param name="State">How much.</param>
/// <param name="Seconds">The time when the user gave it; null when it will come from a calibration take.</param>
internal sealed record ReadoutKnowledge(ReadoutState State, double? Seconds)
{
    internal static ReadoutKnowledge Of(ReadoutTime? readout, bool calibrated) =>
        readout is { IsGlobal: true } ? new(ReadoutState.Global, 0)
        : readout is not null ? new(ReadoutState.Known, Abs(readout.Seconds))
        : calibrated ? new(ReadoutState.Known, null) : new(ReadoutState.Unknown, null);
}
