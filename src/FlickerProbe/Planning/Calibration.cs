using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Planning;

/// <summary>The setting for a calibration take: a lamp on the mains whose bands are strong and move at an easy pace.</summary>
internal static class Calibration
{
    private const double LeastGain = 0.6;

    /// <summary>Beats slower than this drown in the mains' own wandering, hertz.</summary>
    private const double SlowestBeatHz = 0.5;

    /// <summary>The setting, or null when the camera offers none that shows the mains.</summary>
    /// <param name="camera">The camera.</param>
    /// <param name="mainsHz">Mains frequency, hertz.</param>
    internal static CameraSetting? Setting(PlanCamera camera, double mainsHz)
    {
        double ripple = 2 * mainsHz;
        var fit = camera.Settings().Where(s => s.Exposure is { } exposure && Abs(ExposureGain.At(ripple, exposure.Seconds)) >= LeastGain).ToList();
        // Longest exposure first: a bare lamp is no problem, a lit card may be.
        CameraSetting? moving = fit.Where(s => Abs(AliasFrequency.Of(ripple, s.Rate)) >= SlowestBeatHz).OrderByDescending(s => s.Exposure!.Seconds).ThenBy(s => s.Rate.Hertz).FirstOrDefault();
        // n/1001 rates leave 0.12 Hz of 120 Hz: slower than one would like, but bands that can be followed.
        return moving ?? fit.Where(s => Abs(AliasFrequency.Of(ripple, s.Rate)) >= 0.1).OrderByDescending(s => s.Exposure!.Seconds).FirstOrDefault();
    }
}
