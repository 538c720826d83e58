using System.Globalization;

namespace FlickerProbe.Units;

/// <summary>Writes a ratio in per cent for people.</summary>
public static class Percent
{
    /// <summary>A ratio such as 0.0085 as <c>0.85 %</c>: two digits that count under 10 %, whole numbers from 10 % on.</summary>
    public static string Of(double ratio)
    {
        double percent = Math.Abs(ratio * 100);
        string form = percent >= 9.95 ? "0" : percent >= 0.995 ? "0.0" : percent >= 0.0995 ? "0.00" : "0.000";
        return (ratio * 100).ToString(form, CultureInfo.InvariantCulture) + " %";
    }
}
