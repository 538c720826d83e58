using FlickerProbe.Camera;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>What the lines' time means tell of bands that hardly move: they hold most of such a band, whose motion alone tells its strength badly.</summary>
/// <remarks>A band stated too strong or too weak leaves the share sinc(c) of the difference standing, c being its cycles in the clip. Where the profile
/// shows that no more than some amount can be left there, the band's amplitude is known as well as that, however little it moved.</remarks>
internal static class StandingEvidence
{
    /// <summary>The model with its slow tones' amplitudes no more doubtful than the profile leaves them.</summary>
    public static ToneModel Narrowed(ToneModel model, LightMatrix matrix, StandingProfile profile) => model with
    {
        Fit = model.Fit.With([.. model.Fit.Tones.Select(tone => Narrowed(tone, LeftOpen(model, matrix, profile, tone)))]),
    };

    private static PlaneTone Narrowed(PlaneTone tone, double open) =>
        tone with { AmplitudeDeviation = Min(tone.AmplitudeDeviation, open), OvertoneDeviation = Min(tone.OvertoneDeviation, open) };

    /// <summary>Standard deviation before it is scaled by the noise about the tone; infinite where the profile tells nothing.</summary>
    private static double LeftOpen(ToneModel model, LightMatrix matrix, StandingProfile profile, PlaneTone tone)
    {
        if (!ToneModel.IsSlow(tone, matrix) || profile.MostLeftOf(tone, matrix) is not { } left) return double.PositiveInfinity;
        double standing = Abs(ExposureGain.At(ToneFit.Cycles(tone, matrix), 1));
        return left / Max(standing, 1e-9) / (Estimate.Coverage95 * model.NoiseScale(tone));
    }
}
