namespace FlickerProbe.Measurement;

/// <summary>How much of bands that all but stand still may stand: of a beat that makes a small part of a cycle in the clip only its pace is seen, the
/// product of amplitude and alias, and half as strong and twice as fast looks the same.</summary>
/// <param name="slowestHz">Beats slower than this are not covered by the take's limit.</param>
/// <param name="lockedBound">On-camera amplitude of standing bands that can't be excluded; null where they are.</param>
/// <param name="matrix">The take's clock.</param>
internal sealed class StandingShare(double slowestHz, double? lockedBound, LightMatrix matrix)
{
    /// <summary>Whether a tone is slower than what the take can tell from standing bands.</summary>
    public bool Holds(PlaneTone tone) => Math.Abs(ToneSearch.Wrap(tone.X)) * matrix.TickHz < slowestHz;

    /// <summary>What may stand beside the tone as seen, relative; 0 for one that moves.</summary>
    public double Of(PlaneTone tone) => Holds(tone) ? Math.Max(lockedBound ?? 0, tone.Amplitude) : 0;
}
