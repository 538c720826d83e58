using System.IO.Compression;
using System.Text;
using FlickerProbe.Files.Reports;
using FlickerProbe.Tests.Plots;
using PdfSharp.Pdf;
using PdfSharp.Pdf.IO;
using SkiaSharp;
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

    [Fact]
    public void A_picture_goes_in_as_its_png_holds_it_and_once_however_often_it_is_shown()
    {
        using SKBitmap drawn = new(new SKImageInfo(40, 30, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using (SKCanvas canvas = new(drawn)) canvas.Clear(new SKColor(200, 100, 50));
        drawn.SetPixel(7, 3, new SKColor(1, 2, 3));
        byte[] png = drawn.Encode(SKEncodedImageFormat.Png, 100).ToArray();
        Figure figure = Figure.OfPixels("frame", "A frame.", () => png);
        byte[] bytes = PdfReport.Write("T", [new PicturesBlock([figure, figure])], Paper.A4, null, CancellationToken.None);
        using PdfDocument read = PdfReader.Open(new MemoryStream(bytes), PdfDocumentOpenMode.Import);
        PdfDictionary image = Assert.Single(read.Internals.GetAllObjects().OfType<PdfDictionary>(), o => o.Elements.GetName("/Subtype") == "/Image");
        Assert.Equal((40, 30), (image.Elements.GetInteger("/Width"), image.Elements.GetInteger("/Height")));
        Assert.Equal(15, image.Elements.GetDictionary("/DecodeParms")!.Elements.GetInteger("/Predictor"));

        // Unfiltered by hand (PNG, clause 9: only the filters None and Sub, Up, Average, Paeth exist) the pixels are those that were drawn.
        byte[] rows = Unfiltered(image.Stream!.Value, 40, 30);
        Assert.Equal([200, 100, 50], rows[..3]);
        Assert.Equal([1, 2, 3], rows.AsSpan((3 * 40 + 7) * 3, 3).ToArray());
    }

    [Fact]
    public void A_picture_with_transparency_is_laid_on_white()
    {
        using SKBitmap clear = new(new SKImageInfo(4, 4, SKColorType.Rgba8888, SKAlphaType.Premul));
        PrintPicture picture = PrintPicture.Of(clear.Encode(SKEncodedImageFormat.Png, 100).ToArray());
        Assert.All(Unfiltered(picture.Deflated, 4, 4), value => Assert.Equal(255, value));
    }

    private static byte[] Unfiltered(byte[] deflated, int width, int height)
    {
        using ZLibStream inflated = new(new MemoryStream(deflated), CompressionMode.Decompress);
        byte[] all = new byte[(1 + 3 * width) * height], rows = new byte[3 * width * height];
        inflated.ReadExactly(all);
        for (int y = 0; y < height; y++)
        {
            for (int x = 0; x < 3 * width; x++)
            {
                int left = x >= 3 ? rows[y * 3 * width + x - 3] : 0, up = y > 0 ? rows[(y - 1) * 3 * width + x] : 0, corner = x >= 3 && y > 0 ? rows[(y - 1) * 3 * width + x - 3] : 0;
                int estimate = left + up - corner, dl = Math.Abs(estimate - left), du = Math.Abs(estimate - up), dc = Math.Abs(estimate - corner);
                int predicted = all[y * (1 + 3 * width)] switch { 1 => left, 2 => up, 3 => (left + up) / 2, 4 => dl <= du && dl <= dc ? left : du <= dc ? up : corner, _ => 0 };
                rows[y * 3 * width + x] = (byte)(all[y * (1 + 3 * width) + 1 + x] + predicted);
            }
        }
        return rows;
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
