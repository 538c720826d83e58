using FlickerProbe.Footage;

namespace FlickerProbe.Measurement;

/// <summary>When standing bands that can't be excluded matter.</summary>
internal static class LockedFinding
{
    /// <summary>Standing bands fainter than this are beside the point: a quarter of what an 8-bit programme can carry at all.</summary>
    private const double Negligible = 0.002;

    /// <summary>A tone of this amplitude on camera is flicker by itself: the project's own choice, the usual pass line.</summary>
    private const double Plain = 0.01;

    /// <summary>The bound to carry on; null when standing bands are excluded or would need a coincidence that lamps and cameras do not offer.</summary>
    /// <remarks>At n/1001 rates as at whole ones: lamps on the mains rarely keep step with those, but where less than a band fits into the region nothing
    /// in the clip would show that one did. Only beside a light that is plainly seen to move a second one in step with n/1001 is left out.
    /// A global shutter turns a locked light into plain steady light, and one that repeats with every few frames shows it at a few moments only,
    /// between which pulses and gaps fit: nothing in one clip can tell, whatever its rate. What the exposure averages out stays unseen for good.</remarks>
    /// <param name="locked">What the rows say; null where they say nothing.</param>
    /// <param name="take">The take.</param>
    /// <param name="limit">The smallest amplitude on camera that it could have shown moving.</param>
    /// <param name="moving">Amplitude on camera of the strongest tone found that makes a cycle in the clip; 0: none.</param>
    public static double? BoundThatMatters(LockedBands.Answer? locked, SampledTake take, double limit, double moving)
    {
        if (take.Readout is { IsGlobal: true }) return Matters(LockedBands.MostVisible(null, take.Rate.Hertz, take.Exposure), limit);
        if (moving >= Plain && IsCoincidence(locked, take)) return null;
        if (locked is not { } answer) return 1;
        return answer.Evident ? answer.Bound : Matters(answer.Bound, limit);
    }

    /// <summary>Of that bound, what a second light may have that stands still beside one seen to move, to carry on; null where that is no matter.</summary>
    public static double? BesideTones(double? bound, LockedBands.Answer? locked, SampledTake take) =>
        IsCoincidence(locked, take) ? null : bound;

    /// <summary>Whether a light that stands still beside one that moves would be a coincidence that lamps and cameras do not offer.</summary>
    /// <remarks>Mains and crystal-clocked dimmers run at round numbers of hertz, so none keeps step with an n/1001 rate beside one that beats. Where bands are
    /// plainly seen to stand it did happen, and a global shutter does not tell the two apart. Common practice, no source.</remarks>
    private static bool IsCoincidence(LockedBands.Answer? locked, SampledTake take) =>
        take.Rate.Denominator != 1 && take.Readout is not { IsGlobal: true } && locked is not { Evident: true };

    /// <summary>The bound of light that repeats with the mains itself, to carry on; null where it is excluded or can't stand still.</summary>
    public static double? HalfWaveThatMatters(LockedBands.Answer? locked, double limit) => locked is { } answer ? Matters(answer.HalfWave, limit) : null;

    private static double? Matters(double bound, double limit) => bound > Math.Max(1.5 * limit, Negligible) ? bound : null;
}
