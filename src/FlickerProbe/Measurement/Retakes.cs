using FlickerProbe.Camera;

namespace FlickerProbe.Measurement;

/// <summary>Takes that something spoilt, beside sound ones.</summary>
public static class Retakes
{
    /// <summary>The takes that count: a take that proves nothing gives way to a sound one of the same rate and shutter, unless it showed more flicker than that one allows,
    /// and to any sound one where it showed no flicker and its doubts are only of what it may have missed.</summary>
    public static IReadOnlyList<TakeMeasurement> Counting(IReadOnlyList<TakeMeasurement> takes)
    {
        TakeMeasurement[] counting = [.. takes.Where(t => t.IsSound || !takes.Any(other => other.IsSound && (IsSameSetting(t.Take, other.Take) ? !Exceeds(t, other) : ShowedNothing(t))))];
        return counting.Length == takes.Count ? takes : counting;
    }

    private static bool ShowedNothing(TakeMeasurement spoilt) =>
        !(spoilt.ModulationDepth?.Low > 0) && spoilt.Findings.All(f => !f.ForbidsPass || FindingCodes.IsOfMissing(f.Code));

    /// <summary>Whether two takes were shot at one rate and shutter.</summary>
    public static bool IsSameSetting(CameraFormat a, CameraFormat b) => a.Rate == b.Rate && (a.Exposure, b.Exposure) switch
    {
        ({ } one, { } other) => one.IsSameSetting(other),
        (null, null) => true,
        _ => false,
    };

    private static bool Exceeds(TakeMeasurement spoilt, TakeMeasurement sound) => spoilt.ModulationDepth is { } depth && depth.Low > (sound.ModulationDepth?.High ?? 0);
}
