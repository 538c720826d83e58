using System.Globalization;
using FlickerProbe.Units;

namespace FlickerProbe.Camera;

/// <summary>Frames per second as an exact, reduced fraction: 30000/1001 stays 30000/1001.</summary>
/// <remarks>
/// Rounding 30000/1001 to 29.97 would move the beat of a 100 Hz lamp by 9·10⁻⁵ Hz, more than a minute of footage can resolve.
/// Always positive; there is no default; equality is that of the reduced fraction.
/// <para>Rates n/1001: common practice of the trade, listed in Recommendation ITU-R BT.2020 and BT.2100.</para>
/// </remarks>
public sealed record FrameRate
{
    private static readonly (string Short, long Numerator)[] ShortForms =
    [
        ("23.976", 24000), ("23.98", 24000), ("29.97", 30000), ("47.952", 48000), ("47.95", 48000), ("59.94", 60000), ("119.88", 120000),
    ];

    /// <summary>Slowest rate that counts as video, frames per second.</summary>
    public const double SlowestHertz = 1;

    /// <summary>Fastest rate that counts as video, frames per second: beyond any camera this is for.</summary>
    public const double FastestHertz = 100_000;

    private FrameRate(long numerator, long denominator)
    {
        Numerator = numerator;
        Denominator = denominator;
    }

    /// <summary>Stands in for the rate of a still picture, which has none: 25, to reckon with where a number is needed. It equals no real rate,
    /// not even 25, and is shown and written down as unknown.</summary>
    public static FrameRate OfStill { get; } = new(25, 1) { IsStandIn = true };

    /// <summary>Whether this is <see cref="OfStill"/>: no beat and no moving band can be told from it.</summary>
    public bool IsStandIn { get; private init; }

    /// <summary>Numerator of the reduced fraction, frames.</summary>
    public long Numerator { get; }

    /// <summary>Denominator of the reduced fraction, seconds.</summary>
    public long Denominator { get; }

    /// <summary>Frames per second, rounded once to a double.</summary>
    public double Hertz => (double)Numerator / Denominator;

    /// <summary>Seconds from one frame to the next, rounded once to a double.</summary>
    public double PeriodSeconds => (double)Denominator / Numerator;

    /// <summary>The rate numerator/denominator, reduced.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Either number is not positive.</exception>
    public static FrameRate FromRational(long numerator, long denominator)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(numerator);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(denominator);
        long divisor = GreatestCommonDivisor(numerator, denominator);
        return new FrameRate(numerator / divisor, denominator / divisor);
    }

    /// <summary>Reads <c>25</c>, <c>30000/1001</c>, <c>12.5</c> or a short form of the trade: 23.976, 29.97, 47.952, 59.94 and 119.88 mean n/1001.</summary>
    /// <exception cref="InputException">The text is no rate between 1 and 100 000 frames per second.</exception>
    public static FrameRate Parse(string text) =>
        TryParse(text, out FrameRate? rate)
            ? rate
            : throw new InputException($"'{text}' is not a frame rate: write frames per second such as 25, 29.97 or 30000/1001.");

    /// <summary>As <see cref="Parse"/>, but answers false where that throws.</summary>
    public static bool TryParse(string text, [System.Diagnostics.CodeAnalysis.NotNullWhen(true)] out FrameRate? rate)
    {
        rate = null;
        string trimmed = text.Trim();
        foreach ((string shortForm, long numerator) in ShortForms)
        {
            if (trimmed == shortForm)
            {
                rate = FromRational(numerator, 1001);
                return true;
            }
        }

        string[] parts = trimmed.Split('/');
        if (parts.Length == 2)
        {
            if (!long.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out long above) ||
                !long.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out long below) || above == 0 || below == 0) return false;
            rate = FromRational(above, below);
        }
        else if (decimal.TryParse(trimmed, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out decimal value) && value is > 0 and <= 100_000)
        {
            rate = FromRational((long)Math.Round(value * 1_000_000m), 1_000_000);
        }

        if (rate is not null && rate.Hertz is < SlowestHertz or > FastestHertz) rate = null;
        return rate is not null;
    }

    /// <summary>The fraction as the result file writes it: <c>25</c> or <c>30000/1001</c>.</summary>
    public override string ToString() =>
        Denominator == 1
            ? Numerator.ToString(CultureInfo.InvariantCulture)
            : string.Create(CultureInfo.InvariantCulture, $"{Numerator}/{Denominator}");

    /// <summary>The rate as people say it: <c>25</c>, <c>29.97</c>, <c>23.976</c>.</summary>
    public string ToShortText() => Math.Round(Hertz, Hertz < 25 && Denominator != 1 ? 3 : 2).ToString("0.###", CultureInfo.InvariantCulture);

    private static long GreatestCommonDivisor(long a, long b) => b == 0 ? a : GreatestCommonDivisor(b, a % b);
}
