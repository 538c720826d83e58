using FlickerProbe.Camera;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>What a take that does not show a tone says about where its frequency is not.</summary>
internal static class AbsentTone
{
    /// <summary>How many times what a take could show must have been there before its absence counts: the project's own choice.</summary>
    private const double Plainly = 2;

    /// <summary>Whether a take would plainly show a tone were it of this frequency, and does not.</summary>
    /// <param name="take">The take without it.</param>
    /// <param name="hertz">The light's frequency that is asked about.</param>
    /// <param name="tone">The tone as another take shows it.</param>
    /// <param name="seenThrough">Shutter of the take that shows it; null when unknown.</param>
    /// <param name="wanderedHz">How far the light is known to have wandered between takes, hertz.</param>
    public static bool RulesOut(TakeMeasurement take, double hertz, Tone tone, ExposureTime? seenThrough, double wanderedHz = 0)
    {
        if (take.Take.Exposure is not { } exposure) return false;

        // Between two takes the light may have wandered as far as two takes of one light may differ: into standing still, or onto a tone that is there.
        double wander = Max(wanderedHz, DriverClock.Wander(hertz, tone.AliasHz.StandardDeviation));
        double beat = Abs(AliasFrequency.Of(hertz, take.Take.Rate));
        if (beat <= Slow(take, wander) || MayStandUnseen(take, hertz, wander)) return false;
        if (IsShown(take, hertz, wander)) return false;

        double expected = LightFusion.SourceAmplitude(tone.Amplitude, [hertz], seenThrough).Low * Max(0, Abs(ExposureGain.At(hertz, exposure.Seconds)) - ExposureGain.HalfWidth(hertz, exposure));
        // What may stand still there hides nothing that moves; a take whose recording is in doubt is not believed that far.
        return expected > Plainly * (take.IsSound ? take.Blind.DetectionLimit : take.DetectionLimit);
    }

    /// <summary>Whether light of this frequency may stand still in the take where nobody can tell: nothing tells what a cheap driver has brought to a stand from what was never there.</summary>
    /// <param name="take">The take.</param>
    /// <param name="hertz">The light's frequency as other takes have it.</param>
    /// <param name="wander">How far it may have gone between the takes if its driver keeps its rate, hertz.</param>
    public static bool MayStandUnseen(TakeMeasurement take, double hertz, double wander) =>
        (take.LockedBound is not null || take.HalfWaveBound is not null)
        && Abs(AliasFrequency.Of(hertz, take.Take.Rate)) <= Max(Slow(take, wander), DriverClock.MostWander * hertz);

    /// <summary>Whether the take shows any tone where light of this frequency would be.</summary>
    /// <param name="take">The take.</param>
    /// <param name="hertz">The light's frequency as other takes have it.</param>
    /// <param name="wander">How far it may have gone between the takes, hertz.</param>
    public static bool IsShown(TakeMeasurement take, double hertz, double wander) =>
        take.Tones.Any(t => Abs(Abs(t.AliasHz.Value) - Abs(AliasFrequency.Of(hertz, take.Take.Rate))) <= wander);

    private static double Slow(TakeMeasurement take, double wander) => 1.5 * take.SlowestBeatHz + wander;
}
