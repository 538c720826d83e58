using FlickerProbe.Camera;

namespace FlickerProbe.Measurement;

/// <summary>Takes that were shot again because something spoilt them.</summary>
public static class Retakes
{
    /// <summary>The takes that count: a take that proves nothing gives way to a sound one of the same rate and shutter, unless it showed more flicker than that one allows.</summary>
    public static IReadOnlyList<TakeMeasurement> Counting(IReadOnlyList<TakeMeasurement> takes)
    {
        TakeMeasurement[] counting = [.. takes.Where(t => t.IsSound || !takes.Any(other => other.IsSound && IsSameSetting(t.Take, other.Take) && !Exceeds(t, other)))];
        return counting.Length == takes.Count ? takes : counting;
    }

    private static bool IsSameSetting(CameraFormat a, CameraFormat b) => a.Rate == b.Rate && (a.Exposure, b.Exposure) switch
    {
        ({ } one, { } other) => one.IsSameSetting(other),
        (null, null) => true,
        _ => false,
    };

    private static bool Exceeds(TakeMeasurement spoilt, TakeMeasurement sound) => spoilt.ModulationDepth is { } depth && depth.Low > (sound.ModulationDepth?.High ?? 0);
}
