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
    public static bool RulesOut(TakeMeasurement take, double hertz, Tone tone, ExposureTime? seenThrough)
    {
        if (take.Take.Exposure is not { } exposure) return false;

        // Between two takes the light may have wandered as far as two takes of one light may differ: into standing still, or onto a tone that is there.
        double wander = Wander(hertz, (tone.AliasHz.High - tone.AliasHz.Low) / (2 * Estimate.Coverage95));
        double beat = Abs(AliasFrequency.Of(hertz, take.Take.Rate));
        if (beat <= 1.5 * take.SlowestBeatHz + wander) return false;
        if (take.Tones.Any(t => Abs(Abs(t.AliasHz.Value) - beat) <= wander)) return false;

        double spread = Estimate.Coverage95 * Abs(ExposureGain.SlopePerRelativeExposure(hertz, exposure.Seconds)) * exposure.RelativeDeviation;
        double expected = LightFusion.SourceAmplitude(tone.Amplitude, [hertz], seenThrough).Low * Max(0, Abs(ExposureGain.At(hertz, exposure.Seconds)) - spread);
        // What may stand still there hides nothing that moves; a take whose recording is in doubt is not believed that far.
        return expected > Plainly * (take.IsSound ? take.Blind.DetectionLimit : take.DetectionLimit);
    }

    /// <summary>How far two takes' frequencies may differ and still be one light: mains wander by some tens of millihertz, dimmer clocks by parts in ten thousand.</summary>
    /// <param name="hertz">The frequency.</param>
    /// <param name="deviation">How well the takes know it, one standard deviation, hertz.</param>
    public static double Wander(double hertz, double deviation) => Max(4 * deviation, 0.12 + 3e-4 * hertz);
}
