using FlickerProbe.Camera;
using FlickerProbe.Light;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>How strong bands could be that stand still: structure along lines common to all column strips that the scene's shading does not explain.</summary>
/// <remarks>
/// Light locked to the frame rate leaves the same profile in every frame; dividing by the time mean removes it for good. What is left is
/// the mean profile itself (<see cref="StandingProfile"/>). The amplitude and uncertainty of a cosine in it bound what locked light may do.
/// Measurement model, trap 2.
/// </remarks>
internal static class LockedBands
{
    /// <summary>The slowest light that is expected to lock, hertz: twice the mains of 50 Hz less its tolerance.</summary>
    private const double SlowestLockedHz = 90;

    /// <summary>Bands finer than so many rows, or more than so many, are not called seen: pairs of rows and an encoder's blocks have a period of their own there.
    /// They bound what may stand all the same.</summary>
    private const double FinestSeenRows = 4, MostSeenBands = 120;

    /// <summary>So many bands in the region are no shading, and the bound on them holds for the light that makes them.</summary>
    private const double FineFrom = 3;

    /// <summary>How far the readout may be from what is said of it, share: what it is told by the menu or a data sheet.</summary>
    private const double ReadoutDoubt = 0.05;

    /// <summary>The bound and whether the bands are plainly there.</summary>
    /// <param name="Bound">On-camera amplitude not exceeded (95 %).</param>
    /// <param name="Bands">Bands over the coded height at which the bound is reached.</param>
    /// <param name="Seen">On-camera amplitude of standing bands that the strips agree on well above the texture; null when there are none.</param>
    /// <param name="HalfWave">On-camera amplitude not exceeded by light that repeats with the mains itself; 0 where the mains is no multiple of the rate.</param>
    /// <param name="Fine">What light that would stand in more than a few bands may have; null when the readout is unknown.</param>
    internal readonly record struct Answer(double Bound, double Bands, double? Seen, double HalfWave, FineBands? Fine)
    {
        /// <summary>Whether bands plainly stand still.</summary>
        public bool Evident => Seen is not null;
    }

    /// <summary>Bounds standing bands of a rolling shutter.</summary>
    public static Answer Bound(StandingProfile profile, LightMatrix matrix, FrameRate rate, ReadoutTime? readout, ExposureTime? exposure)
    {
        int lines = matrix.Lines;
        double regionShare = lines / matrix.LinesPerHeight;
        double lowestBands = readout is null ? 0.3 : Max(0.3, SlowestLockedHz * Abs(readout.Seconds) * regionShare);
        double worst = 0, worstBands = 0, worstFine = 0;
        double? seen = null;
        double finest = Min(lines / FinestSeenRows, MostSeenBands);
        // Up to two rows a band, as moving ones are looked for; there cosine and sine are one.
        for (double bands = lowestBands, step = 0; bands <= lines / 2.0 - 0.5; bands += step)
        {
            bool fine = bands >= finest;
            step = bands < 8 ? 0.25 : 0.5;
            if (readout is not null && !CanLock(bands / regionShare, rate.Hertz * matrix.Parities * Abs(readout.Seconds), 0.15 / regionShare)) continue;
            (double amplitude, double deviation, double agreement, double determined) = profile.CommonCosine(bands / lines);
            // What lies half a step beside the place tried is seen that much weaker.
            amplitude /= ExposureGain.At(step / 2, 1);
            double tickHz = rate.Hertz * matrix.Parities;
            double? lightHz = readout is null ? null : Round(bands / regionShare / Abs(readout.Seconds) / tickHz) * tickHz;
            // Few bands and smooth shading can't be told apart, but a whole band can't be stronger than the profile bends, chance cancelling aside.
            // Under one band a flat part of the light may stand in the region: then the bend says nothing.
            double bend = bands < 1 ? 1 : profile.MostBent;
            double visible = fine && lightHz is { } hertz ? MostVisibleFrom(hertz, exposure) : MostVisible(lightHz, tickHz, exposure);
            double bound = Min(Min(amplitude + 2 * deviation, bend), visible);
            if (bands >= FineFrom) worstFine = Max(worstFine, bound);
            if (bound > worst) (worst, worstBands) = (bound, bands / regionShare);
            // In the logarithm of the light a cosine of amplitude a swings from e^a to e^−a: a depth of tanh a.
            if (!fine && determined > StandingProfile.LeastDetermined && amplitude > 5 * deviation && amplitude > 0.004 && agreement > 0.9) seen = Max(seen ?? 0, Tanh(amplitude));
        }
        return new Answer(Min(worst, 1), worstBands, seen, HalfWave(2 * profile.MostBent, rate.Hertz * matrix.Parities, readout, regionShare, exposure),
            Fine(worstFine, lines, readout, regionShare));
    }

    // A whole step inside of what was tried, and as far again as the readout may be off.
    private static FineBands? Fine(double bound, int lines, ReadoutTime? readout, double regionShare)
    {
        if (readout is null) return null;
        double bandsPerHertz = Abs(readout.Seconds) * regionShare;
        return new FineBands(Min(bound, 1), (FineFrom + 0.5) / bandsPerHertz * (1 + ReadoutDoubt), (lines / 2.0 - 1.5) / bandsPerHertz * (1 - ReadoutDoubt));
    }

    /// <summary>How strong light that repeats with the mains itself may be: its one slow bend is all but the scene's own shading to a single clip,
    /// but it can't bend the profile more than the profile is bent, chance cancelling aside.</summary>
    /// <remarks>Of b bands, one or less, a cosine shows at least the share 1 − cos πb of its amplitude: with its crest in the middle of the region.</remarks>
    private static double HalfWave(double mostSpan, double tickHz, ReadoutTime? readout, double regionShare, ExposureTime? exposure) =>
        HalfWaveLight.StandingAt(tickHz).Select(hertz =>
        {
            double bands = hertz * Abs(readout?.Seconds ?? FrequencyCandidates.FastestReadoutSeconds) * regionShare;
            return Min(mostSpan / (1 - Cos(PI * Min(1, bands))), MostVisible(hertz, tickHz, exposure));
        }).Append(0).Max();

    /// <summary>The most that any light locked to the rate can show through this exposure: twice its mean at most, times the gain.</summary>
    /// <param name="lightHz">The light's rate in hertz; null: whichever shows most.</param>
    /// <param name="tickHz">Frames or fields per second.</param>
    /// <param name="exposure">The exposure; null when unknown.</param>
    public static double MostVisible(double? lightHz, double tickHz, ExposureTime? exposure)
    {
        if (exposure is null) return 1;
        double Gain(double f) => Abs(ExposureGain.At(f, exposure.Seconds)) + ExposureGain.HalfWidth(f, exposure);
        if (lightHz is { } known) return Min(1, 2 * Gain(known));
        double most = 0;
        for (int k = (int)Ceiling(SlowestLockedHz / tickHz); k * tickHz < 20_000; k++) most = Max(most, Gain(k * tickHz));
        return Min(1, 2 * most);
    }

    /// <summary>The most that any light of so many hertz or more can show: fine bands may be those of a faster light that make whole cycles from row to row.</summary>
    private static double MostVisibleFrom(double hertz, ExposureTime? exposure) => exposure is null ? 1 : Min(1, 2 / (PI * hertz * exposure.Seconds));

    // Light locked at k times the rate has k · F · T_r bands over the height; the readout's own tolerance grows with k.
    private static bool CanLock(double bands, double bandsPerMultiple, double reach)
    {
        double multiple = Round(bands / bandsPerMultiple);
        return multiple >= 1 && Abs(bands - multiple * bandsPerMultiple) <= reach + 0.01 * bands;
    }
}
