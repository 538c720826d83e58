using System.Globalization;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using Xunit;

namespace FlickerProbe.Tests.Reports;

public class TextTests
{
    [Theory]
    [InlineData("")]
    [InlineData("de-DE")]
    public void The_summary_is_the_approved_one(string culture)
    {
        using CultureScope scope = new(culture);
        Approved.Equal("summary-audition.txt", TextSummary.Write(SampleDocuments.Audition()));
        Approved.Equal("summary-single.txt", TextSummary.Write(SampleDocuments.SingleClip()));
    }

    [Theory]
    [InlineData("")]
    [InlineData("fr-FR")]
    public void The_takes_table_is_the_approved_one(string culture)
    {
        using CultureScope scope = new(culture);
        Approved.Equal("takes-single.csv", TakesCsv.Write(SampleDocuments.SingleClip()));
    }

    [Fact]
    public void What_another_take_has_settled_is_no_note_any_more()
    {
        ReasonResult standing = new("locked-bands", "By itself this take can't exclude bands locked to 25 frames per second.");
        ResultDocument single = SampleDocuments.SingleClip();
        LevelResult level = single.Fixtures[0].Levels[0];
        TakeResult take = level.Takes[0] with { Warnings = [standing] };
        string Of(params FormatResult[] formats) => TextSummary.Write(single with
        {
            Fixtures = [single.Fixtures[0] with { Levels = [level with { Takes = [take, take with { Warnings = [] }], Formats = formats }] }],
        });
        FormatResult settled = level.Formats[0] with { Verdict = "watch", Reasons = [] }, open = settled with { Reasons = [standing] }, failed = settled with { Verdict = "fail" };
        Assert.DoesNotContain("Note: By itself", Of(settled), StringComparison.Ordinal);
        Assert.Contains("Note: By itself", Of(settled, open), StringComparison.Ordinal);
        Assert.Contains("Note: By itself", Of(settled, failed), StringComparison.Ordinal);
    }

    [Fact]
    public void The_summary_cannot_steer_a_terminal()
    {
        string text = TextSummary.Write(SampleDocuments.HostileNames());
        Assert.DoesNotContain(text, c => char.IsControl(c) && c != '\n');
        Assert.Contains("Extraordinarily", text, StringComparison.Ordinal);
    }

    [Fact]
    public void No_cell_of_the_takes_table_is_a_formula()
    {
        string[] lines = TakesCsv.Write(SampleDocuments.HostileNames()).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.True(lines.Length > 20);
        int columns = Cells(lines[0]).Count;
        foreach (string line in lines)
        {
            List<string> cells = Cells(line);
            Assert.Equal(columns, cells.Count);
            foreach (string cell in cells.Where(cell => cell.Length > 0 && "=+-@\t\r".Contains(cell[0], StringComparison.Ordinal)))
                Assert.True(double.TryParse(cell, NumberStyles.Float, CultureInfo.InvariantCulture, out _), cell);
        }
    }

    [Fact]
    public void A_take_without_tones_still_has_its_row()
    {
        string[] lines = TakesCsv.Write(SampleDocuments.Audition()).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(6, lines.Count(line => line.StartsWith("Wash A,", StringComparison.Ordinal)));
        Assert.Equal(18, lines.Count(line => line.StartsWith("Profile C,", StringComparison.Ordinal)));
    }

    // A plain reader of RFC 4180, apart from the writer.
    private static List<string> Cells(string line)
    {
        List<string> cells = [];
        System.Text.StringBuilder cell = new();
        bool quoted = false;
        for (int i = 0; i < line.Length; i++)
        {
            if (quoted && line[i] == '"' && i + 1 < line.Length && line[i + 1] == '"') { cell.Append('"'); i++; }
            else if (line[i] == '"') quoted = !quoted;
            else if (line[i] == ',' && !quoted) { cells.Add(cell.ToString()); cell.Clear(); }
            else cell.Append(line[i]);
        }
        cells.Add(cell.ToString());
        return cells;
    }
}
