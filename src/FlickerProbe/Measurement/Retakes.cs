using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Takes that were shot again because something spoilt them.</summary>
public static class Retakes
{
    /// <summary>Shutters nearer than this, as a share, are one setting.</summary>
    private const double SameShutter = 0.005;

    /// <summary>The takes that count: a take that proves nothing gives way to a sound one of the same rate and shutter, unless it showed more flicker than that one allows.</summary>
    public static IReadOnlyList<TakeMeasurement> Counting(IReadOnlyList<TakeMeasurement> takes)
    {
        TakeMeasurement[] counting = [.. takes.Where(t => IsSound(t) || !takes.Any(other => IsSound(other) && IsSameSetting(t.Take, other.Take) && !Exceeds(t, other)))];
        return counting.Length == takes.Count ? takes : counting;
    }

    private static bool IsSound(TakeMeasurement take) => !take.Findings.Any(f => f.ForbidsPass);

    private static bool IsSameSetting(CameraFormat a, CameraFormat b) => a.Rate == b.Rate && (a.Exposure, b.Exposure) switch
    {
        ({ } one, { } other) => Abs(one.Seconds / other.Seconds - 1) < SameShutter,
        (null, null) => true,
        _ => false,
    };

    private static bool Exceeds(TakeMeasurement spoilt, TakeMeasurement sound) => spoilt.ModulationDepth is { } depth && depth.Low > (sound.ModulationDepth?.High ?? 0);
}
