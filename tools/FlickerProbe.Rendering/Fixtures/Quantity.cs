using System.Globalization;
using FlickerProbe.Rendering.Camera;

namespace FlickerProbe.Rendering.Fixtures;

/// <summary>Reads quantities as people write them: 325Hz, 2kHz, 40us, 4ms, 1/250, 180deg, 8%.</summary>
internal static class Quantity
{
    public static double Hertz(string text) => WithUnit(text, "frequency", ("kHz", 1e3), ("MHz", 1e6), ("Hz", 1));

    public static double Seconds(string text) => WithUnit(text, "time", ("us", 1e-6), ("µs", 1e-6), ("ms", 1e-3), ("s", 1));

    /// <summary>A share: 8% or 0.08.</summary>
    public static double Share(string text) => text.TrimEnd().EndsWith('%') ? Plain(text.TrimEnd()[..^1], text) / 100 : Plain(text, text);

    /// <summary>An angle in radians, written in degrees.</summary>
    public static double Radians(string text) => WithUnit(text, "angle", ("deg", Math.PI / 180), ("°", Math.PI / 180), ("rad", 1));

    /// <summary>An exposure time, s: 1/250, 4ms, 0.004s, or a shutter angle 180deg, which needs the frame rate.</summary>
    public static double Shutter(string text, FrameRate rate)
    {
        string t = text.Trim();
        if (t.EndsWith("deg", StringComparison.Ordinal)) return Plain(t[..^3], text) / 360 / rate.FramesPerSecond;
        string[] parts = t.TrimEnd('s').Split('/');
        if (parts.Length == 2) return Plain(parts[0], text) / Plain(parts[1], text);
        return Seconds(t);
    }

    /// <summary>A readout time, s: 16ms, -16ms or global.</summary>
    public static double Readout(string text) => text.Trim() == "global" ? 0 : Seconds(text);

    public static double Plain(string text, string whole) =>
        double.TryParse(text.Trim(), NumberStyles.Float, CultureInfo.InvariantCulture, out double v) && double.IsFinite(v)
            ? v : throw new FormatException($"'{whole}' is not a number.");

    private static double WithUnit(string text, string what, params (string Unit, double Factor)[] units)
    {
        string t = text.Trim();
        foreach ((string unit, double factor) in units)
        {
            if (t.EndsWith(unit, StringComparison.Ordinal)) return Plain(t[..^unit.Length], text) * factor;
        }

        throw new FormatException($"'{text}' is not a {what}. Write a number with a unit: {string.Join(", ", units.Select(u => u.Unit))}.");
    }
}
