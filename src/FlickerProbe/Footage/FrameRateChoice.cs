using FlickerProbe.Camera;

namespace FlickerProbe.Footage;

/// <summary>Settles a clip's frame rate: that of the sensor, under whatever the container says and however unsteady the time stamps are.</summary>
/// <remarks>
/// Frames are put on a grid (index += gap over the median gap, rounded, so a dropped frame leaves a hole) and a straight line through time
/// against index gives the period with its standard deviation. A rate that the container states, or one in common use, is taken when it
/// agrees with that line to four standard deviations or 20 parts in a million; else the measured rate stands.
/// </remarks>
public static class FrameRateChoice
{
    private const double Tolerance = 20e-6;

    /// <summary>Rates in common use. Recommendation ITU-R BT.2020-2 table 2 and BT.2100-2 table 1; 48, 90 and 240: common practice, no source.</summary>
    private static readonly FrameRate[] Common =
    [
        .. new (long, long)[]
        {
            (24000, 1001), (24, 1), (25, 1), (30000, 1001), (30, 1), (48000, 1001), (48, 1), (50, 1), (60000, 1001), (60, 1), (90, 1), (100, 1),
            (120000, 1001), (120, 1), (240000, 1001), (240, 1), (15, 1), (15000, 1001), (12, 1), (10, 1),
        }.Select(rate => FrameRate.FromRational(rate.Item1, rate.Item2)),
    ];

    /// <summary>The rate to measure by; null when there is nothing to go by, or only what can't be a camera's rate.</summary>
    /// <param name="nominal">The rate that the stream states, null when it states none.</param>
    /// <param name="average">Frames over duration as the container states it, null when it states none.</param>
    /// <param name="seconds">Display times, ascending; null when the file carries none.</param>
    /// <param name="tickSeconds">Resolution of the times, seconds.</param>
    public static FrameRate? Choose(FrameRate? nominal, FrameRate? average, IReadOnlyList<double>? seconds, double tickSeconds) =>
        Nearest(nominal, average, seconds, tickSeconds) is { Hertz: >= FrameRate.SlowestHertz and <= FrameRate.FastestHertz } rate ? rate : null;

    private static FrameRate? Nearest(FrameRate? nominal, FrameRate? average, IReadOnlyList<double>? seconds, double tickSeconds)
    {
        nominal = Exact(nominal);
        average = Exact(average);
        if (Fit(seconds, tickSeconds) is not { } fit) return nominal ?? average;
        double allowed = Math.Max(4 * fit.Deviation / fit.Period, Tolerance);
        bool Agrees(FrameRate rate) => Math.Abs(rate.PeriodSeconds / fit.Period - 1) <= allowed;

        if (nominal is not null && Agrees(nominal)) return nominal;
        FrameRate nearest = Common.MinBy(rate => Math.Abs(rate.PeriodSeconds / fit.Period - 1))!;
        if (Agrees(nearest)) return nearest;
        if (average is not null && Agrees(average)) return average;
        double hertz = 1 / fit.Period;
        return hertz is >= 0.001 and <= 1e6 ? FrameRate.FromRational((long)Math.Round(hertz * 1e6), 1_000_000) : nominal ?? average;
    }

    /// <summary>A rate written short, 29.97 for 30000/1001, as what it means: the two are a millionth apart.</summary>
    private static FrameRate? Exact(FrameRate? stated) =>
        stated is null ? null : Array.Find(Common, rate => Math.Abs(rate.Hertz / stated.Hertz - 1) < 2e-6) ?? stated;

    /// <summary>Period and its standard deviation, seconds, from a line through time against frame index; null for fewer than three distinct times.</summary>
    private static (double Period, double Deviation)? Fit(IReadOnlyList<double>? seconds, double tickSeconds)
    {
        if (seconds is null || seconds.Count < 3) return null;
        double[] gaps = [.. seconds.Skip(1).Zip(seconds, (later, earlier) => later - earlier).Where(gap => gap > 0).Order()];
        if (gaps.Length < 2) return null;
        double median = gaps[gaps.Length / 2];

        double[] index = new double[seconds.Count];
        for (int n = 1; n < index.Length; n++)
        {
            double steps = Math.Round((seconds[n] - seconds[n - 1]) / median);
            index[n] = index[n - 1] + (seconds[n] > seconds[n - 1] ? Math.Max(1, steps) : 0);
        }
        double meanIndex = index.Average(), meanTime = seconds.Average();
        double spread = 0, together = 0;
        for (int n = 0; n < index.Length; n++)
        {
            spread += (index[n] - meanIndex) * (index[n] - meanIndex);
            together += (index[n] - meanIndex) * (seconds[n] - meanTime);
        }
        double period = together / spread;
        double residual = 0;
        for (int n = 0; n < index.Length; n++)
        {
            double off = seconds[n] - meanTime - period * (index[n] - meanIndex);
            residual += off * off;
        }
        double scatter = Math.Max(Math.Sqrt(residual / Math.Max(1, index.Length - 2)), tickSeconds / Math.Sqrt(12));
        return period > 0 ? (period, scatter / Math.Sqrt(spread)) : null;
    }
}
