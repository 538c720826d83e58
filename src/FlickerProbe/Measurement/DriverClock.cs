using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>How well what drives a light holds its rate from one take to the next.</summary>
internal static class DriverClock
{
    /// <summary>Share of its rate by which a cheap driver's clock may differ between two takes of an evening, as it warms: common practice, no source.</summary>
    public const double MostWander = 0.01;

    /// <summary>How far two takes' frequencies may differ and still be one light that kept its rate, hertz: mains wander by some tens of millihertz,
    /// quartz by parts in ten thousand, and a driver without one, once warm, by a thousandth. Common practice, no source.</summary>
    /// <param name="hertz">The frequency.</param>
    /// <param name="deviation">How well the takes know it, one standard deviation, hertz.</param>
    public static double Wander(double hertz, double deviation) => Max(4 * deviation, 0.12 + 1e-3 * hertz);
}
