using FlickerProbe.Camera;

namespace FlickerProbe.Measurement;

/// <summary>How much of bands that all but stand still may stand: of a beat that makes a small part of a cycle in the clip only its pace is seen, the
/// product of amplitude and alias, and half as strong and twice as fast looks the same. Only where the lines' time means hold what the bands found would
/// leave standing, and no more, are both known.</summary>
/// <param name="slowestHz">Beats slower than this are not covered by the take's limit.</param>
/// <param name="lockedBound">On-camera amplitude of standing bands that can't be excluded; null where they are.</param>
/// <param name="matrix">The take's clock.</param>
/// <param name="isGlobal">Whether all rows are read at once.</param>
/// <param name="profile">What stands beside the bands that were found; null where the rows do not tell.</param>
internal sealed class StandingShare(double slowestHz, double? lockedBound, LightMatrix matrix, bool isGlobal, StandingProfile? profile)
{
    /// <summary>Moments of the light's period up to which a few frames that repeat tell its waveform no better than standing bands do.</summary>
    private const int FewMoments = 8;

    /// <summary>Whether a tone is slower than what the take can tell from standing bands.</summary>
    public bool Holds(PlaneTone tone) => Math.Abs(ToneSearch.Wrap(tone.X)) * matrix.TickHz < slowestHz;

    /// <summary>Whether a global shutter shows the light at the same few moments of its period again and again: its overtones then lie on top of each other,
    /// and what it does between those moments is not seen.</summary>
    public bool MeetsFewMoments(PlaneTone tone) =>
        isGlobal && lockedBound is not null && Enumerable.Range(2, FewMoments - 1).Any(q => Math.Abs(ToneSearch.Wrap(q * tone.X)) * matrix.Ticks < 1);

    /// <summary>What may stand beside the tone as seen, relative to the mean light; 0 for one that moves.</summary>
    public double Of(PlaneTone tone) => Unsure(tone) is > 0 and var share ? Math.Max(lockedBound ?? 0, share * tone.Amplitude) : 0;

    /// <summary>By what share of itself a tone may be stronger or weaker, since bands that stand look like a part of it; 0 for one that moves, 1 at most.</summary>
    public double Unsure(PlaneTone tone)
    {
        if (MeetsFewMoments(tone)) return 1;
        if (!Holds(tone)) return 0;
        // A tone that is stated too strong or too weak leaves the difference standing.
        return profile?.MostLeftOf(tone, matrix) is { } left ? Math.Min(1, left / Math.Max(tone.Amplitude, 1e-12)) : 1;
    }

    /// <summary>How far light that stands may have bent the bands of other light, one standard deviation in bands over the coded height.</summary>
    /// <remarks>Light that pulses in step with the frames is divided out with each row's own mean. What it shines through, ripple of the mains beneath the
    /// pulses, is then met at moments of the exposure that differ from row to row. Light that stands with the share m as a cosine moves the middle of an
    /// exposure of one period by up to m/2π of it either way: from the region's first row to its last a third of what the tone does in an exposure at most,
    /// a third of that as one deviation. The project's own; no published source.</remarks>
    /// <param name="bands">Bands over the coded height.</param>
    /// <param name="readout">The readout they were read with.</param>
    /// <param name="exposure">How long each row is exposed.</param>
    public double BandsBent(double bands, ReadoutTime readout, ExposureTime exposure) =>
        lockedBound is null || isGlobal ? 0
            : 0.12 * Math.Min(1, lockedBound.Value) * bands * exposure.Seconds / Math.Abs(readout.Seconds) * matrix.LinesPerHeight / matrix.Lines;
}
