using System.Globalization;
using FlickerProbe.Units;

namespace FlickerProbe.Camera;

/// <summary>Time in seconds that the sensor takes from its first row to its last over the full coded height (H rows at T_r / H each).</summary>
/// <remarks>Positive: top to bottom. Negative: bottom to top. Zero: a global shutter. Unknown is a null. Equality is by value.</remarks>
public sealed record ReadoutTime
{
    /// <summary>How far a stated readout may be from the truth: 0.25 % as one standard deviation, when nobody says better.
    /// The project's own choice; calibrated readouts state their own.</summary>
    public const double DefaultRelativeDeviation = 0.0025;

    private ReadoutTime(double seconds, double relativeDeviation)
    {
        Seconds = seconds;
        RelativeDeviation = relativeDeviation;
    }

    /// <summary>A sensor that reads all rows at once.</summary>
    public static ReadoutTime Global { get; } = new(0, 0);

    /// <summary>Signed time in seconds.</summary>
    public double Seconds { get; }

    /// <summary>Standard deviation of the time, as a share of it.</summary>
    public double RelativeDeviation { get; }

    /// <summary>Whether all rows are read at once.</summary>
    public bool IsGlobal => Seconds == 0;

    /// <summary>A rolling readout of so many signed seconds; 0 is the global shutter.</summary>
    public static ReadoutTime FromSeconds(double seconds, double relativeDeviation = DefaultRelativeDeviation)
    {
        if (!double.IsFinite(seconds)) throw new ArgumentOutOfRangeException(nameof(seconds), seconds, "A readout time is finite.");
        return seconds == 0 ? Global : new ReadoutTime(seconds, relativeDeviation);
    }

    /// <summary>Reads <c>16ms</c>, <c>-16ms</c>, <c>0.016s</c> or <c>global</c>; a tolerance may follow as <c>16ms±0.1ms</c> or <c>16ms+-0.1ms</c> (95 %).</summary>
    /// <exception cref="InputException">The text is no readout time.</exception>
    public static ReadoutTime Parse(string text)
    {
        string trimmed = text.Trim();
        if (trimmed.Equals("global", StringComparison.OrdinalIgnoreCase)) return Global;
        string[] parts = trimmed.Replace("+-", "±", StringComparison.Ordinal).Split('±');
        double? seconds = Parsing.Seconds(parts[0]);
        double? tolerance = parts.Length == 2 ? Parsing.Seconds(parts[1]) : null;
        if (seconds is null or 0 || parts.Length > 2 || (parts.Length == 2 && tolerance is not > 0))
            throw new InputException($"'{text}' is not a readout time: write first row to last row such as 16ms, -16ms (bottom to top) or global.");
        if (Math.Abs(seconds.Value) > 0.2)
            throw new InputException($"A readout time of '{text}' is not possible for video: it lies between 1 ms and the frame period; write it in ms.");
        return FromSeconds(seconds.Value, tolerance / Math.Abs(seconds.Value) / Estimate.Coverage95 ?? DefaultRelativeDeviation);
    }

    /// <summary>The readout as people say it: <c>16 ms</c> or <c>global shutter</c>.</summary>
    public string ToShortText() => IsGlobal ? "global shutter" : string.Create(CultureInfo.InvariantCulture, $"{Seconds * 1000:0.##} ms");
}
