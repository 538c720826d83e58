using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using FlickerProbe.Camera;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Reports;

/// <summary>How numbers and verdicts are worded for people, the same on every page, whatever the computer's language.</summary>
internal static partial class Words
{
    private const string Unknown = "not known";

    /// <summary>The verdict as one word.</summary>
    public static string Verdict(string verdict) => verdict switch { "pass" => "Pass", "fail" => "Fail", _ => "Watch" };

    /// <summary>What the word means, so that a watch is never taken for a pass.</summary>
    public static string Meaning(string verdict, bool open) => verdict switch
    {
        "pass" => "safe on camera at the formats asked for",
        "fail" => "flickers on camera",
        _ when open => "cannot tell yet; not a pass",
        _ => "borderline; not a pass",
    };

    /// <summary>An on-camera or source ratio in per cent with its interval; bounds are rounded outwards, so rounding never flatters.</summary>
    public static string Percent(Estimate ratio)
    {
        double value = ratio.Value * 100, low = ratio.Low * 100, high = ratio.High * 100;
        if (low <= 0 && value <= 0) return $"below {Up(high, Digits(high))} %";
        int digits = Digits(Math.Max((high - low) / 2, Math.Abs(value) * 0.001));
        return low <= 0
            ? $"{Fixed(value, digits)} % (below {Up(high, digits)} %)"
            : $"{Fixed(value, digits)} % ({Down(low, digits)}–{Up(high, digits)} %)";
    }

    /// <summary>An upper bound in per cent, rounded up.</summary>
    public static string PercentBound(double ratio) => Up(ratio * 100, Digits(ratio * 100)) + " %";

    /// <summary>A plain ratio in per cent.</summary>
    public static string Percent(double ratio) => (ratio * 100).ToString("0.##", CultureInfo.InvariantCulture) + " %";

    /// <summary>A pure number with its interval.</summary>
    public static string Number(Estimate number)
    {
        int digits = Digits(Math.Max(number.HalfWidth, Math.Abs(number.Value) * 0.001));
        return $"{Fixed(number.Value, digits)} ({Down(number.Low, digits)}–{Up(number.High, digits)})";
    }

    /// <summary>A frequency with its interval, to the first digit of its spread.</summary>
    public static string Hertz(Estimate hertz)
    {
        int digits = Math.Clamp(Digits(Math.Max(hertz.HalfWidth, Math.Abs(hertz.Value) * 1e-7)) - 1, 0, 6);
        return $"{Fixed(hertz.Value, digits)} Hz ({Down(hertz.Low, digits)}–{Up(hertz.High, digits)})";
    }

    /// <summary>A frequency; beats keep more digits than rates.</summary>
    public static string Hertz(double hertz) =>
        hertz.ToString(Math.Abs(hertz) < 1 ? "0.###" : Math.Abs(hertz) < 100 ? "0.##" : "0.#", CultureInfo.InvariantCulture) + " Hz";

    /// <summary>Frequencies in a row; a long list is cut and says so.</summary>
    public static string HertzList(IReadOnlyList<double> hertz) => hertz.Count switch
    {
        0 => Unknown,
        <= 6 => string.Join(" or ", hertz.Select(value => Hertz(value))),
        _ => string.Create(CultureInfo.InvariantCulture, $"{string.Join(" or ", hertz.Take(5).Select(value => Hertz(value)))} or {hertz.Count - 5} more"),
    };

    /// <summary>The light's own rate, or what is known of it.</summary>
    /// <param name="level">The level of a fixture.</param>
    /// <param name="open">Words before several rates that fit.</param>
    public static string Fundamental(LevelResult level, string open) =>
        level.Light.FundamentalHz is { } hertz ? Hertz(hertz)
        : level.Light.CandidatesHz.Count > 0 ? open + HertzList(level.Light.CandidatesHz)
        : level.Takes.Any(take => take.Tones.Count > 0) ? "frequency not known"
        : "no flicker found";

    /// <summary>A dimmer level; null when it was not given.</summary>
    public static string? Dimmer(double? dimmer) => dimmer is null ? null : (dimmer.Value * 100).ToString("0.#", CultureInfo.InvariantCulture) + " %";

    /// <summary>A frame rate as people say it: 29.97.</summary>
    public static string Rate(string rate) => FrameRate.TryParse(rate, out FrameRate? read) ? read.ToShortText() : Clean(rate);

    /// <summary>An exposure as people say it: 1/60 s.</summary>
    public static string Exposure(double? seconds) => seconds is > 0 ? ExposureTime.FromSeconds(seconds.Value).ToShortText() : Unknown;

    /// <summary>A tolerance to drift of the mains frequency, rounded down; what rests on no whole period needs none.</summary>
    public static string MainsTolerance(double? hertz) =>
        hertz is null ? "–" : hertz < 0.01 ? "under ±0.01 Hz" : string.Create(CultureInfo.InvariantCulture, $"±{Math.Floor(hertz.Value * 100) / 100:0.##} Hz");

    /// <summary>A readout in milliseconds with its direction.</summary>
    public static string Readout(double? seconds) => seconds switch
    {
        null => Unknown,
        0 => "global shutter",
        < 0 => (-seconds.Value * 1000).ToString("0.###", CultureInfo.InvariantCulture) + " ms, bottom to top",
        _ => (seconds.Value * 1000).ToString("0.###", CultureInfo.InvariantCulture) + " ms",
    };

    /// <summary>A camera format as people say it.</summary>
    public static string Format(string? camera, string? rate, double? exposure) =>
        (string.IsNullOrEmpty(camera) ? "" : Clean(camera) + ", ") + (rate is null ? "a still" : Rate(rate) + " fps") + (exposure is null ? ", shutter not known" : " at " + Exposure(exposure));

    /// <summary>The sentences of some reasons, one after the other.</summary>
    public static string Reasons(IEnumerable<ReasonResult> reasons) => string.Join(" ", reasons.Select(reason => Clean(reason.Message)));

    /// <summary>
    /// A text that a person or a file gave, made safe to show: control characters and marks that turn the writing direction are taken out,
    /// line breaks become spaces. Nothing is escaped here: that is for whoever writes the page.
    /// </summary>
    public static string Clean(string text)
    {
        StringBuilder kept = new(text.Length);
        foreach (Rune rune in text.EnumerateRunes())
        {
            if (rune.Value is '\n' or '\r' or '\t')
            {
                if (kept.Length > 0 && kept[^1] != ' ') kept.Append(' ');
                continue;
            }
            bool turnsDirection = rune.Value is 0x061C or 0x200E or 0x200F or (>= 0x202A and <= 0x202E) or (>= 0x2066 and <= 0x2069);
            // No XML holds these two (XML 1.0, 2.2), and nobody can see them.
            if (rune.Value is 0xFFFE or 0xFFFF) continue;
            if (Rune.GetUnicodeCategory(rune) is UnicodeCategory.Control or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator || turnsDirection) continue;
            kept.Append(rune.ToString());
        }
        return kept.ToString().Trim();
    }

    /// <summary>Ties numbers to their units with spaces that don't break, for pages.</summary>
    public static string Tie(string text) => NumberAndUnit().Replace(text, "\u00A0");

    [GeneratedRegex("(?<=[0-9]) (?=(%|s|ms|µs|Hz|kHz|fps|×)( |[,.;:()]|$))")]
    private static partial Regex NumberAndUnit();

    // Decimals so that a spread shows two significant digits.
    private static int Digits(double spread) => spread > 0 ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(spread)), 0, 8) : 3;

    private static string Fixed(double value, int digits) => value.ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    // The hair taken off keeps 0.2 from becoming 0.21 because it is stored as 0.2000000001.
    private static string Up(double value, int digits)
    {
        double scale = Math.Pow(10, digits);
        return Fixed(Math.Ceiling(value * scale - 1e-6) / scale, digits);
    }

    private static string Down(double value, int digits)
    {
        double scale = Math.Pow(10, digits);
        return Fixed(Math.Floor(value * scale + 1e-6) / scale, digits);
    }
}
