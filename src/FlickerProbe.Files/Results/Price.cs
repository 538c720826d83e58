using System.Globalization;

namespace FlickerProbe.Files.Results;

/// <summary>An amount in a currency, read from what people write: <c>240 EUR</c>, <c>€1 240.50</c>, <c>1.240,50 EUR</c>.</summary>
/// <param name="Amount">The amount.</param>
/// <param name="Currency">Letters or sign as written, upper case; € and £ as EUR and GBP; empty when none is written.</param>
public sealed record Price(decimal Amount, string Currency)
{
    /// <summary>Reads a price; null when there is no number, or more than one.</summary>
    public static Price? Read(string? text)
    {
        if (text is null) return null;
        int first = text.AsSpan().IndexOfAnyInRange('0', '9'), last = text.AsSpan().LastIndexOfAnyInRange('0', '9');
        if (first < 0) return null;
        string number = new([.. text[first..(last + 1)].Where(c => c is not (' ' or '\u00A0' or '\u202F' or '\'' or '’'))]);
        if (number.Any(c => !char.IsAsciiDigit(c) && c is not ('.' or ','))) return null;
        int point = DecimalPoint(number);
        string whole = new([.. (point < 0 ? number : number[..point]).Where(char.IsAsciiDigit)]);
        string part = point < 0 ? "0" : number[(point + 1)..];
        if (part.Length == 0 || !part.All(char.IsAsciiDigit)) return null;
        if (!decimal.TryParse($"{whole}.{part}", NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out decimal amount)) return null;
        string before = text[..first].Trim(), after = text[(last + 1)..].Trim();
        // "240 EUR plus tax" is in EUR; whatever else is said about it is not.
        string word = (before.Length > 0 ? before : after).Split([' ', '\u00A0', ',', '('], 2)[0].TrimEnd('.', ':').ToUpperInvariant();
        return new Price(amount, word switch { "€" or "EURO" or "EUROS" => "EUR", "£" => "GBP", _ => word });
    }

    // The last of two different separators is the decimal one; a single one before exactly three digits groups thousands.
    private static int DecimalPoint(string number)
    {
        int comma = number.LastIndexOf(','), dot = number.LastIndexOf('.'), lastOne = Math.Max(comma, dot);
        if (lastOne < 0) return -1;
        if (comma >= 0 && dot >= 0) return lastOne;
        bool repeated = number.IndexOf(number[lastOne]) != lastOne;
        return repeated || number.Length - lastOne - 1 == 3 ? -1 : lastOne;
    }
}
