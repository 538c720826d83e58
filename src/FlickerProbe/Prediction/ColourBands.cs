using System.Numerics;
using FlickerProbe.Measurement;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Prediction;

/// <summary>Whether flicker shows in colour: where red, green and blue do not flicker alike, a band is not only darker, it has another hue.</summary>
/// <remarks>
/// Every emitter colour has its own driver and phase. Two channels of one take differ by |A₁e^{iφ₁} − A₂e^{iφ₂}| of the mean light (A: amplitude on
/// camera, φ: phase in the middle of the take, where it is best known); their intervals are taken off, so that noise makes no colour. The difference shows from one
/// step of 8-bit code on (<see cref="CodeStep"/>): less can't be carried by most recordings. The criterion is the project's own choice; no published source.
/// </remarks>
public static class ColourBands
{
    /// <summary>The part of a channel's flicker that is sure to be missing or shifted in another channel: 0 (all alike) … 2 (opposite phases). The most over takes and tones.</summary>
    /// <param name="channels">For each channel the same takes, in the same order.</param>
    public static double SureShare(IReadOnlyList<IReadOnlyList<TakeMeasurement>> channels)
    {
        double most = 0;
        for (int take = 0; channels.Count > 1 && take < channels.Min(c => c.Count); take++)
        {
            foreach (Tone tone in channels.SelectMany(c => c[take].Tones.Take(1)))
            {
                foreach (IReadOnlyList<TakeMeasurement> other in channels)
                {
                    double apart = SureDifference(channels[0][take], tone, other[take]);
                    most = Math.Max(most, apart / Math.Max(tone.Amplitude.Value, 1e-9));
                }
            }
        }
        return Math.Min(2, most);
    }

    /// <summary>Whether flicker of that depth shows in colour.</summary>
    /// <param name="depth">Depth on camera of the channel that flickers most.</param>
    /// <param name="sureShare">As <see cref="SureShare"/> has it.</param>
    public static bool Show(Estimate depth, double sureShare) => depth.Value * sureShare >= CodeStep.DepthNearMidScale;

    /// <summary>What is surely different between a tone and its counterpart in another channel, as an amplitude; 0 when that may be nothing.</summary>
    private static double SureDifference(TakeMeasurement take, Tone tone, TakeMeasurement other)
    {
        Complex InTheMiddle(Tone t) => Complex.FromPolarCoordinates(t.Amplitude.Value, t.PhaseRadians + Math.PI * t.AliasHz.Value * (take.Frames - 1) / take.Take.Rate.Hertz);
        double half = tone.Amplitude.LongerSide;
        Tone? same = other.Tones.FirstOrDefault(t =>
            Math.Abs(t.AliasHz.Value - tone.AliasHz.Value) < 0.05 && Math.Abs(t.BandsPerHeight.Value - tone.BandsPerHeight.Value) < 0.25);
        // Not found: there may still be as much of it as that channel could not have shown.
        if (same is null) return Math.Max(0, tone.Amplitude.Value - half - other.DetectionLimit);
        return Math.Max(0, (InTheMiddle(tone) - InTheMiddle(same)).Magnitude - half - same.Amplitude.LongerSide);
    }
}
