using System.Globalization;
using System.Text;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Auditions;

/// <summary>One fixture on a decision sheet.</summary>
/// <param name="Fixture">The fixture.</param>
/// <param name="Usable">Dimmer levels over which it passes without a gap; null when none.</param>
/// <param name="Price">Its price; null when none can be read.</param>
/// <param name="WorstDepth">Largest modulation depth on camera over levels in use and formats; null when nothing was measured.</param>
/// <param name="Sentence">What it comes to, one plain sentence.</param>
public sealed record DecisionRow(FixtureResult Fixture, DimmingRange? Usable, Price? Price, Estimate? WorstDepth, string Sentence);

/// <summary>The fixtures of one or several results in the order in which they are to be preferred.</summary>
/// <param name="Rows">The fixtures, best first: by verdict, then by usable dimming range, then by price, then by name.</param>
/// <param name="PricesCompared">Whether all prices are in one currency, so that they could be compared.</param>
public sealed record DecisionSheet(IReadOnlyList<DecisionRow> Rows, bool PricesCompared)
{
    /// <summary>The sheet of some fixtures.</summary>
    public static DecisionSheet Of(IEnumerable<FixtureResult> fixtures)
    {
        List<DecisionRow> rows = [.. fixtures.Select(f => new DecisionRow(f, DimmingRange.Of(f), Price.Read(f.Price), WorstLevel.Depth(f), DecisionSentence.Of(f)))];
        bool oneCurrency = rows.Select(r => r.Price?.Currency).OfType<string>().Distinct().Count() <= 1;
        return new DecisionSheet(
            [.. rows.OrderBy(r => r.Fixture.Verdict switch { "pass" => 0, "watch" => 1, _ => 2 })
                .ThenByDescending(r => r.Usable?.Span ?? -1)
                .ThenBy(r => oneCurrency ? r.Price?.Amount ?? decimal.MaxValue : 0)
                .ThenBy(r => r.Fixture.Name, StringComparer.Ordinal)],
            oneCurrency);
    }

    /// <summary>The sheet as plain text: one fixture a paragraph.</summary>
    public string ToText()
    {
        var text = new StringBuilder();
        for (int i = 0; i < Rows.Count; i++)
        {
            DecisionRow row = Rows[i];
            text.Append(CultureInfo.InvariantCulture, $"{i + 1}. {row.Fixture.Name}: {row.Sentence}");
            if (row.Fixture.Price is { } price) text.Append(CultureInfo.InvariantCulture, $" Price: {price}.");
            text.Append('\n');
        }
        if (!PricesCompared) text.Append("The prices are in different currencies and were not compared.\n");
        return text.ToString();
    }
}
