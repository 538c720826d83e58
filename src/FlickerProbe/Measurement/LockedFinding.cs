using FlickerProbe.Footage;

namespace FlickerProbe.Measurement;

/// <summary>When standing bands that can't be excluded matter.</summary>
internal static class LockedFinding
{
    /// <summary>Standing bands fainter than this are beside the point: a quarter of what an 8-bit programme can carry at all.</summary>
    private const double Negligible = 0.002;

    /// <summary>The bound to carry on; null when standing bands are excluded or would need a coincidence that lamps and cameras do not offer.</summary>
    /// <remarks>Mains and crystal-clocked dimmers run at round numbers of hertz: they lock to whole frame rates, not to n/1001. At n/1001 rates
    /// standing bands of a rolling shutter count only when they are plainly seen. Common practice, no source.
    /// A global shutter turns a locked light into plain steady light, and one that repeats with every few frames shows it at a few moments only,
    /// between which pulses and gaps fit: nothing in one clip can tell, whatever its rate. What the exposure averages out stays unseen for good.</remarks>
    public static double? BoundThatMatters(LockedBands.Answer? locked, SampledTake take, double limit)
    {
        if (take.Readout is { IsGlobal: true }) return Matters(LockedBands.MostVisible(null, take.Rate.Hertz, take.Exposure), limit);
        if (locked is not { } answer) return take.Rate.Denominator == 1 ? 1 : null;
        if (answer.Evident) return answer.Bound;
        if (take.Rate.Denominator != 1) return null;
        return Matters(answer.Bound, limit);
    }

    /// <summary>The bound of light that repeats with the mains itself, to carry on; null where it is excluded or can't stand still.</summary>
    public static double? HalfWaveThatMatters(LockedBands.Answer? locked, double limit) => locked is { } answer ? Matters(answer.HalfWave, limit) : null;

    private static double? Matters(double bound, double limit) => bound > Math.Max(1.5 * limit, Negligible) ? bound : null;
}
