using FlickerProbe.Camera;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Verdict;

/// <summary>What takes leave open of a light in which nothing more is found, and what one more good take would.</summary>
internal static class ExpectedTake
{
    /// <summary>What standing bands and a lamp on half waves may have unseen in an ordinary scene, on-camera amplitude: the project's own choice.</summary>
    private const double OrdinaryLocked = 0.03, OrdinaryHalfWave = 0.1;

    /// <summary>A take as it would be had it shown nothing: only what it can't exclude is left.</summary>
    public static TakeMeasurement Blank(TakeMeasurement take)
    {
        double limit = take.Blind.DetectionLimit, stands = Max(take.LockedBound ?? 0, take.HalfWaveBound ?? 0);
        return take with
        {
            ModulationDepth = Estimate.AtMost(Max(limit, stands)),
            IfNothingStands = stands > 0 ? new MovingOnly(Estimate.AtMost(limit), limit) : null,
            Tones = [],
            Findings = [],
        };
    }

    /// <summary>What a good take at a setting would say, by the takes there are.</summary>
    /// <param name="setting">The setting; its exposure is known.</param>
    /// <param name="seconds">How long it would run.</param>
    /// <param name="takes">What the camera has shown so far; at least one.</param>
    public static TakeMeasurement At(CameraFormat setting, double seconds, IReadOnlyList<TakeMeasurement> takes)
    {
        double limit = takes.Min(t => t.Blind.DetectionLimit), hertz = setting.Rate.Hertz;
        ReadoutTime? readout = takes.OrderByDescending(t => t.Take.Rate == setting.Rate).Select(t => t.Take.Readout).FirstOrDefault(r => r is not null);
        bool isGlobal = readout is { IsGlobal: true };
        double locked = Min(isGlobal ? 1 : LikelyLocked(setting, takes), LockedBands.MostVisible(null, hertz, setting.Exposure));
        double halfWave = isGlobal ? 0
            : HalfWaveLight.StandingAt(hertz).Select(f => Min(takes.Max(t => t.HalfWaveBound) ?? OrdinaryHalfWave, LockedBands.MostVisible(f, hertz, setting.Exposure))).Append(0).Max();
        double? Known(double bound) => bound > limit ? Min(1, bound) : null;
        return Blank(takes[0] with
        {
            Take = setting with { Readout = readout },
            DetectionLimit = limit,
            IfNothingStands = null,
            LockedBound = Known(locked),
            HalfWaveBound = Known(halfWave),
            FineBands = takes.Select(t => t.FineBands).FirstOrDefault(f => f is not null),
            SlowestBeatHz = Min(takes.Min(t => t.SlowestBeatHz), 1 / seconds),
        });
    }

    // Takes at the same rate that let as much of the bands through have shown what the scene hides of them; others tell roughly.
    private static double LikelyLocked(CameraFormat setting, IReadOnlyList<TakeMeasurement> takes)
    {
        TakeMeasurement[] alike = [.. takes.Where(t => t.Take.Rate == setting.Rate && t.Take.Exposure is { } e && e.Seconds <= setting.Exposure!.Seconds)];
        return alike.Length > 0 ? alike.Max(t => t.LockedBound ?? 0) : takes.Max(t => t.LockedBound) ?? OrdinaryLocked;
    }
}
