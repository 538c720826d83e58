using System.Text;
using FlickerProbe.Files.Reports;
using FlickerProbe.Tests.Plots;
using PdfSharp.Pdf;
using PdfSharp.Pdf.IO;
using Xunit;

namespace FlickerProbe.Tests.Reports;

public class PdfReportTests
{
    [Theory]
    [InlineData("single", Paper.A4, 595.276, 841.89)]
    [InlineData("hostile", Paper.Letter, 612, 792)]
    public void Pages_have_the_papers_size(string which, Paper paper, double width, double height)
    {
        byte[] bytes = Write(which, paper);
        using PdfDocument read = PdfReader.Open(new MemoryStream(bytes), PdfDocumentOpenMode.Import);
        Assert.True(read.PageCount >= 3);
        Assert.All(read.Pages.Cast<PdfPage>(), page =>
        {
            Assert.Equal(width, page.Width.Point, 1);
            Assert.Equal(height, page.Height.Point, 1);
        });
        Assert.Equal(SampleDocuments.Created.UtcDateTime, read.Info.CreationDate.ToUniversalTime());
    }

    [Fact]
    public void A_row_taller_than_a_page_runs_on_and_the_heading_is_repeated()
    {
        string wall = string.Join(' ', Enumerable.Repeat("word", 6000));
        Block[] blocks = [new HeadingBlock(1, "T"), new TableBlock("Tall", [new("A"), new("B", 2)], [["short", wall], ["last", "row"]])];
        byte[] bytes = PdfReport.Write("T", blocks, Paper.A4, null, CancellationToken.None);
        using PdfDocument read = PdfReader.Open(new MemoryStream(bytes), PdfDocumentOpenMode.Import);
        // 6000 words at about 18 a line of 11 points on 740 points of page.
        Assert.InRange(read.PageCount, 3, 12);
    }

    [Fact]
    public void A_word_without_spaces_is_broken_inside_its_column()
    {
        using PdfDocument document = new();
        // The resolver of the font is set by the writer.
        PdfReport.Write("T", [new HeadingBlock(1, "T")], Paper.A4, null, CancellationToken.None);
        PdfFlow flow = new(document, Paper.A4);
        var font = PdfFlow.Font(9);
        string word = string.Concat(Enumerable.Repeat("Ünbreakable😀", 12));
        IReadOnlyList<string> lines = flow.Wrap("a " + word + " b", font, 90);
        Assert.True(lines.Count > 5);
        Assert.All(lines, line =>
        {
            Assert.True(flow.Page.MeasureString(line, font).Width <= 90);
            Assert.False(char.IsLowSurrogate(line[0]), "a character was cut in two");
        });
        Assert.Equal("a" + word + "b", string.Concat(lines).Replace(" ", "", StringComparison.Ordinal));
    }

    private static byte[] Write(string which, Paper paper)
    {
        var document = which == "single" ? SampleDocuments.SingleClip() : which == "hostile" ? SampleDocuments.HostileNames() : SampleDocuments.Audition();
        byte[] bytes = PdfReport.Write(ReportContent.Title(document), ReportContent.Build(document), paper, document.Created, CancellationToken.None);
        Assert.Equal("%PDF-", Encoding.ASCII.GetString(bytes, 0, 5));
        if (Pictures.Folder is { } folder)
        {
            Directory.CreateDirectory(folder);
            File.WriteAllBytes(Path.Combine(folder, which + ".pdf"), bytes);
        }
        return bytes;
    }
}
