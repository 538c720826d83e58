using FlickerProbe.Camera;
using FlickerProbe.Footage;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>How much of the mains' cycle a take has met.</summary>
/// <remarks>A lamp that a mains dimmer switches off for a small part of each half wave shows nothing while that gap stays outside the region: few bands in it, a slow
/// beat and a short clip may leave it there from the first frame to the last. What rows, beat and exposure cover together must make a whole cycle.
/// Where the light stands still altogether it is <see cref="LockedBands"/>' affair.</remarks>
internal static class MainsCycle
{
    /// <summary>What lamps on the mains ripple at: twice 50 and 60 Hz.</summary>
    public static readonly double[] RippleHz = [100, 120];

    /// <summary>A beat slower than this stands still; by so much does the mains' own wandering slow a beat: twice ± 10 mHz, hertz. Common practice, no source.</summary>
    private const double Standing = 0.02, Wandering = 0.02;

    /// <summary>Seconds a clip of this region must run to meet the whole cycle; null where this one does.</summary>
    /// <param name="take">The take.</param>
    /// <param name="matrix">Its region and clock.</param>
    public static double? SecondsMissing(SampledTake take, LightMatrix matrix)
    {
        double readout = Abs(take.Readout?.Seconds ?? FrequencyCandidates.FastestReadoutSeconds), seconds = matrix.Ticks / matrix.TickHz;
        double atOnce = readout * matrix.Lines / matrix.LinesPerHeight + (take.Exposure?.Seconds ?? 0);
        double needed = RippleHz.Select(hertz => (Beat: Abs(IEEERemainder(hertz, matrix.TickHz)), Open: 1 - hertz * atOnce))
            .Where(r => r.Beat > Standing).Select(r => r.Open / Max(r.Beat - Wandering, Standing)).Append(0).Max();
        return needed > seconds ? needed : null;
    }
}
