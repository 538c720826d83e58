using System.Globalization;

namespace FlickerProbe.Units;

/// <summary>Reads numbers and times the way the command line and the audition file write them, whatever the computer's language.</summary>
public static class Parsing
{
    /// <summary>A finite number with a decimal point; null when the text is anything else.</summary>
    public static double? Number(string text) =>
        double.TryParse(text.Trim(), NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && double.IsFinite(value) ? value : null;

    /// <summary>A time in seconds from <c>1/250</c>, <c>4ms</c>, <c>250us</c>, <c>0.004s</c>; null when the text is none of these. The sign is kept.</summary>
    public static double? Seconds(string text)
    {
        string trimmed = text.Trim();
        foreach ((string suffix, double factor) in new[] { ("ms", 1e-3), ("us", 1e-6), ("µs", 1e-6), ("s", 1.0) })
        {
            if (trimmed.EndsWith(suffix, StringComparison.OrdinalIgnoreCase))
                return Ratio(trimmed[..^suffix.Length]) * factor;
        }
        return trimmed.Contains('/', StringComparison.Ordinal) ? Ratio(trimmed) : null;
    }

    /// <summary>A number or a quotient of two numbers, such as <c>1/250</c>; null when the text is neither or divides by zero.</summary>
    public static double? Ratio(string text)
    {
        string[] parts = text.Split('/');
        if (parts.Length == 1) return Number(parts[0]);
        if (parts.Length != 2 || Number(parts[0]) is not { } above || Number(parts[1]) is not { } below || below == 0) return null;
        return above / below;
    }

    /// <summary>A share 0…1 from <c>50%</c> or <c>0.5</c>; null when the text is neither or lies outside.</summary>
    public static double? Share(string text)
    {
        string trimmed = text.Trim();
        double? value = trimmed.EndsWith('%') ? Number(trimmed[..^1]) / 100 : Number(trimmed);
        return value is >= 0 and <= 1 ? value : null;
    }

    /// <summary>A frequency in hertz from <c>120Hz</c>, <c>1.2kHz</c> or a bare number; null when the text is none of these or not positive.</summary>
    public static double? Hertz(string text)
    {
        string trimmed = text.Trim();
        double? value =
            trimmed.EndsWith("kHz", StringComparison.OrdinalIgnoreCase) ? Number(trimmed[..^3]) * 1000 :
            trimmed.EndsWith("Hz", StringComparison.OrdinalIgnoreCase) ? Number(trimmed[..^2]) :
            Number(trimmed);
        return value is > 0 ? value : null;
    }
}
