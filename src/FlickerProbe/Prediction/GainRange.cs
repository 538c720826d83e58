using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>The range that the signed exposure gain sinc(x) takes while x = f · Tₑ runs through an interval.</summary>
/// <remarks>A linear error estimate fails near a null, where the slope says nothing about the fold of |G|; the range does not.</remarks>
/// <param name="Low">Smallest value of sinc on the interval.</param>
/// <param name="High">Largest value of sinc on the interval.</param>
public readonly record struct GainRange(double Low, double High)
{
    /// <summary>Largest magnitude on the interval.</summary>
    public double LargestMagnitude => Max(Abs(Low), Abs(High));

    /// <summary>The range over an interval of cycles per exposure.</summary>
    /// <param name="fromCycles">Lower end of f · Tₑ.</param>
    /// <param name="toCycles">Upper end of f · Tₑ.</param>
    public static GainRange Over(double fromCycles, double toCycles)
    {
        double from = Max(0, Min(fromCycles, toCycles)), to = Max(0, Max(fromCycles, toCycles));
        double atFrom = Sinc(from), atTo = Sinc(to);
        double low = Min(atFrom, atTo), high = Max(atFrom, atTo);
        // Turning points lie where tan y = y: a little before every half-integer from 3/2 on. Two of them bound all later ones.
        for (int n = Max(1, (int)Ceiling(from - 0.5)), seen = 0; seen < 3; n++, seen++)
        {
            double y = (n + 0.5) * PI;
            double turn = (y - 1 / y) / PI;
            if (turn > to) break;
            if (turn < from) continue;
            double value = Sinc(turn);
            low = Min(low, value);
            high = Max(high, value);
        }
        return new GainRange(low, high);
    }

    internal static double Sinc(double cycles)
    {
        double x = PI * cycles; // rad
        return Abs(x) < 1e-4 ? 1 - x * x / 6 : Sin(x) / x;
    }
}
