using System.Numerics;

namespace FlickerProbe.Room;

/// <summary>Block 3 of the flickermeter: band limits, lamp, eye and brain as one linear filter, as complex gain over frequency.</summary>
/// <remarks>
/// Voltage weighting and its coefficients: IEC 61000-4-15 (from analyser manuals; its sine tables 1a/1b come out of them, see the tests).
/// Light weighting: IEC TR 61547-1, eye and brain without the lamp, from memory; its denominator is that of the 230 V weighting to 1e-5 and the
/// rest is exactly a lamp.
/// </remarks>
public static class FlickerWeighting
{
    /// <summary>Coefficients of the voltage weighting F(s) for one lamp and mains.</summary>
    /// <param name="K">Gain k.</param>
    /// <param name="LambdaHz">λ / 2π, hertz; likewise the corner frequencies.</param>
    /// <param name="Omega1Hz">ω1 / 2π.</param>
    /// <param name="Omega2Hz">ω2 / 2π.</param>
    /// <param name="Omega3Hz">ω3 / 2π.</param>
    /// <param name="Omega4Hz">ω4 / 2π.</param>
    /// <param name="LowPassHz">Corner of the sixth-order Butterworth low-pass.</param>
    public sealed record Lamp(double K, double LambdaHz, double Omega1Hz, double Omega2Hz, double Omega3Hz, double Omega4Hz, double LowPassHz);

    /// <summary>60 W coiled-coil lamp, 230 V, 50 Hz.</summary>
    public static Lamp Lamp230V { get; } = new(1.74802, 4.05981, 9.15494, 2.27979, 1.22535, 21.9, 35);

    /// <summary>60 W coiled-coil lamp, 120 V, 60 Hz.</summary>
    public static Lamp Lamp120V { get; } = new(1.6357, 4.167375, 9.077169, 2.939902, 1.394468, 17.31512, 42);

    /// <summary>F(s) · high-pass 0.05 Hz · low-pass for a change of mains voltage.</summary>
    public static Complex Voltage(double frequencyHz, Lamp lamp) => Eye(frequencyHz, lamp) * BandLimits(frequencyHz, lamp.LowPassHz);

    /// <summary>F(s) alone.</summary>
    public static Complex Eye(double frequencyHz, Lamp lamp)
    {
        // All corner frequencies carry the same 2π as s, so hertz can stand for rad/s throughout.
        Complex s = new(0, frequencyHz);
        return lamp.K * lamp.Omega1Hz * s / (s * s + 2 * lamp.LambdaHz * s + lamp.Omega1Hz * lamp.Omega1Hz)
            * (1 + s / lamp.Omega2Hz) / ((1 + s / lamp.Omega3Hz) * (1 + s / lamp.Omega4Hz));
    }

    /// <summary>Eye and brain for a relative change of light, without band limits.</summary>
    public static Complex LightEye(double frequencyHz)
    {
        Complex s = new(0, 2 * Math.PI * frequencyHz); // rad/s
        return s * (((0.041661 * s + 44.758) * s + 2715.6) * s + 29839) / ((((s + 196.32) * s + 11781) * s + 534820) * s + 3505380);
    }

    /// <summary>Eye and brain · high-pass 0.05 Hz · low-pass 35 Hz for a relative change of light. Whether the low-pass is kept for light was not verified; it matters above 25 Hz.</summary>
    public static Complex Light(double frequencyHz) => LightEye(frequencyHz) * BandLimits(frequencyHz, 35);

    private static Complex BandLimits(double frequencyHz, double lowPassHz)
    {
        Complex s = new(0, frequencyHz), x = s / lowPassHz;
        Complex highPass = s / (s + 0.05), lowPass = 1;
        // Butterworth, order 6: three conjugate pole pairs at 15°, 45° and 75° from the negative real axis.
        foreach (double degrees in new[] { 15.0, 45.0, 75.0 }) lowPass /= x * x + 2 * Math.Cos(degrees * Math.PI / 180) * x + 1;
        return highPass * lowPass;
    }
}
