using System.Globalization;
using System.Text;

namespace FlickerProbe.Files.Reports;

/// <summary>Cells of the report's tables for spreadsheets: comma, decimal point, one line ending (RFC 4180).</summary>
internal static class CsvCells
{
    /// <summary>A number with ten significant digits: all that is measured, without the tail that a factor of 100 leaves. Unknown is an empty cell.</summary>
    public static string Number(double? value) => value?.ToString("G10", CultureInfo.InvariantCulture) ?? "";

    /// <summary>One line of the table.</summary>
    public static void Row(StringBuilder text, IEnumerable<string> cells) => text.AppendJoin(',', cells).Append("\r\n");

    /// <summary>A text cell: never taken for a formula by a spreadsheet, quoted where the format asks for it.</summary>
    public static string Text(string given)
    {
        string clean = Words.Clean(given);
        if (clean.Length > 0 && clean[0] is '=' or '+' or '-' or '@') clean = "'" + clean;
        return clean.AsSpan().ContainsAny(',', '"', ';') ? "\"" + clean.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"" : clean;
    }
}
