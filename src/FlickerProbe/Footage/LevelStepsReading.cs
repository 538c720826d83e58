using FlickerProbe.Measurement;

namespace FlickerProbe.Footage;

/// <summary>A part of a clip in which the light's level is steady.</summary>
/// <param name="FirstFrame">First frame of the part, counted from 0.</param>
/// <param name="FrameCount">Frames in the part, fades trimmed off.</param>
/// <param name="Level">Mean linear light of the part with flicker removed, relative to nominal white.</param>
/// <param name="Dimmer">The listed dimmer level 0…1 that the part was given; null while the numbers differ.</param>
public sealed record LevelStretch(int FirstFrame, int FrameCount, double Level, double? Dimmer);

/// <summary>What was found in a clip in which the dimmer is stepped: data enough to draw the level over time with the parts found.</summary>
/// <param name="FramePeriodSeconds">Seconds from one frame to the next.</param>
/// <param name="FrameLevels">Mean linear light of the region in each frame, flicker included.</param>
/// <param name="Stretches">Steady parts in order of time.</param>
/// <param name="ListedLevels">The dimmer levels that were listed, 0…1, in order.</param>
/// <param name="Problem">Why the levels can't be assigned, one plain sentence; null when each listed level has its part.</param>
public sealed record LevelStepsReading(
    double FramePeriodSeconds,
    double[] FrameLevels,
    IReadOnlyList<LevelStretch> Stretches,
    IReadOnlyList<double> ListedLevels,
    Finding? Problem)
{
    /// <summary>Slow beats of the light that were taken out before looking for steps, hertz as sampled about ten times a second; empty when none stood out.</summary>
    public IReadOnlyList<double> BeatHz { get; init; } = [];
}
