using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Lamps that pass one half wave of the mains, or the two unequally, and so repeat with the mains itself.</summary>
/// <remarks>At 25, 30, 50 and 60 frames a second such a lamp's one slow bend stands still, and to a single clip it is all but the scene's own shading.</remarks>
public static class HalfWaveLight
{
    /// <summary>Their rates, hertz. Common practice, no source.</summary>
    private static readonly double[] RatesHz = [50, 60];

    /// <summary>A rate this near a whole part of the mains keeps the bend where it is, hertz; at n/1001 rates it beats.</summary>
    private const double Standing = 0.02;

    /// <summary>The rates in hertz that stand still at a tick rate.</summary>
    /// <param name="tickHz">Frames or fields per second.</param>
    public static IEnumerable<double> StandingAt(double tickHz) => RatesHz.Where(f => Abs(IEEERemainder(f, tickHz)) < Standing);

    /// <summary>Whether light of this frequency, in hertz, is such a lamp's and stands still at a tick rate.</summary>
    public static bool Stands(double hertz, double tickHz) => StandingAt(tickHz).Any(f => Abs(hertz - f) < Standing);

    /// <summary>Fainter than this such a lamp is beside the point, on-camera amplitude.</summary>
    private const double Faint = 0.005;

    /// <summary>What may stand still in one of the takes and none of the others would have shown moving: it forbids a pass.</summary>
    public static IEnumerable<Finding> Doubts(IReadOnlyList<TakeMeasurement> takes) =>
        takes.Where(t => t.HalfWaveBound >= Faint && IsOpen(t, takes)).Select(t => new Finding(
            FindingCodes.LockedBands,
            FormattableString.Invariant($"A lamp that repeats with the mains itself could stand still at {t.Take.Rate.ToShortText()} frames per second (up to {t.HalfWaveBound:P1}): shoot one more take at another frame rate."))
        { ForbidsPass = true });

    /// <summary>Whether such a lamp may stand still in a take and none of the others would have shown it moving.</summary>
    public static bool IsOpen(TakeMeasurement take, IReadOnlyList<TakeMeasurement> takes) => take.HalfWaveBound is not null && !takes.Any(other => IsRuledOut(take, other));

    // At the very same shutter what moves unseen in one take would stand unseen in the other, however little of it the shutter lets through.
    private static bool IsRuledOut(TakeMeasurement take, TakeMeasurement other)
    {
        if (other.Take.Rate.IsStandIn || other.Take.Exposure is not { } exposure) return false;
        bool sameShutter = take.Take.Exposure?.IsSameSetting(exposure) == true;
        return StandingAt(take.Take.Rate.Hertz).All(f => Abs(AliasFrequency.Of(f, other.Take.Rate)) > other.Blind.SlowestBeatHz
            && other.Blind.DetectionLimit < Faint * (sameShutter ? 1 : Abs(ExposureGain.At(f, exposure.Seconds))));
    }
}
