using System.Runtime.CompilerServices;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>What may stand still in a take once the other takes of the same light have had their say: light locked to one frame rate moves at another.</summary>
public static class StandingLight
{
    /// <summary>A bound that others lowered to less than this share of the take's own is settled.</summary>
    private const double Settled = 0.5;

    // A light is asked for many formats; what its takes leave open together is worked out once. The takes stand beside it since a list can change.
    private static readonly ConditionalWeakTable<IReadOnlyList<TakeMeasurement>, Known> Together = [];

    private sealed record Known(TakeMeasurement[] Takes, HiddenBound Bound)
    {
        public static Known Of(IReadOnlyList<TakeMeasurement> takes) =>
            new([.. takes], new HiddenBound([.. takes.Where(t => t.IsSound).Select(t => t.Blind)]));

        public bool IsOf(IReadOnlyList<TakeMeasurement> takes) => Takes.Length == takes.Count && Takes.Zip(takes).All(p => ReferenceEquals(p.First, p.Second));
    }

    /// <summary>On-camera amplitude that light standing still in the take might have, as that take would show it; null when nothing could stand.</summary>
    /// <param name="take">One take of the light.</param>
    /// <param name="takes">All its takes at that dimmer level, this one included. Those that a doubt of their own keeps from a pass rule nothing out.</param>
    public static double? Bound(TakeMeasurement take, IReadOnlyList<TakeMeasurement> takes)
    {
        if (take.LockedBound is null && take.HalfWaveBound is null) return null;
        double locked = take.LockedBound is { } bound ? Min(bound, Of(takes).At(take.Take).Depth) : 0;
        return Max(locked, HalfWaveLight.IsOpen(take, takes) ? take.HalfWaveBound ?? 0 : 0);
    }

    private static HiddenBound Of(IReadOnlyList<TakeMeasurement> takes)
    {
        if (Together.TryGetValue(takes, out Known? known) && known.IsOf(takes)) return known.Bound;
        known = Known.Of(takes);
        Together.AddOrUpdate(takes, known);
        return known.Bound;
    }

    /// <summary>Whether the other takes show that what this one could not exclude, standing bands, is not there.</summary>
    public static bool IsSettled(TakeMeasurement take, IReadOnlyList<TakeMeasurement> takes) =>
        Bound(take, takes) is not { } open || open < Settled * Max(take.LockedBound ?? 0, take.HalfWaveBound ?? 0);
}
