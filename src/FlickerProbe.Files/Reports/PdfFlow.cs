using System.Globalization;
using System.Text;
using FlickerProbe.Files.Plots;
using PdfSharp.Drawing;
using PdfSharp.Pdf;

namespace FlickerProbe.Files.Reports;

/// <summary>Pages that fill from top to bottom. Lengths are in points, 1/72 inch.</summary>
internal sealed class PdfFlow
{
    public const double Margin = 46, FooterHeight = 26;

    private readonly PdfDocument _document;
    private readonly double _width, _height;
    private readonly Dictionary<(string, XFont), double> _widths = [];
    private readonly List<(PdfPage Page, PdfDictionary Image, double X, double Y, double Width, double Height)> _pictures = [];
    private XGraphics? _page;

    public PdfFlow(PdfDocument document, Paper paper)
    {
        _document = document;
        (_width, _height) = paper == Paper.Letter ? (612.0, 792.0) : (595.276, 841.89);
        NewPage();
    }

    public static XFont Font(double size, bool bold = false) => new(HouseStyle.Font, size, bold ? XFontStyleEx.Bold : XFontStyleEx.Regular);

    public static double LineHeight(XFont font) => font.Size * 1.36;

    public XGraphics Page => _page!;

    public PdfPage CurrentPage => _document.Pages[^1];

    public PdfDocument Document => _document;

    /// <summary>Where the next thing goes, from the top of the page.</summary>
    public double Y { get; set; }

    public static double Left => Margin;

    public double ContentWidth => _width - 2 * Margin;

    public double Bottom => _height - Margin - FooterHeight;

    /// <summary>Room that a page offers in full.</summary>
    public double FullHeight => Bottom - Margin;

    public bool AtTop => Y <= Margin + 0.5;

    public void NewPage()
    {
        _page?.Dispose();
        PdfPage page = _document.AddPage();
        page.Width = XUnit.FromPoint(_width);
        page.Height = XUnit.FromPoint(_height);
        _page = XGraphics.FromPdfPage(page);
        Y = Margin;
    }

    /// <summary>Starts a new page unless so much room is left.</summary>
    public void Need(double height)
    {
        if (Y + height > Bottom && !AtTop) NewPage();
    }

    /// <summary>Sets text in a column, breaking pages between lines.</summary>
    public void Text(string text, XFont font, XBrush brush, double indent = 0)
    {
        foreach (string line in Wrap(text, font, ContentWidth - indent))
        {
            Need(LineHeight(font));
            Line(line, font, brush, Left + indent, Y);
            Y += LineHeight(font);
        }
    }

    /// <summary>Draws one line whose top is at <paramref name="top"/>.</summary>
    public void Line(string line, XFont font, XBrush brush, double x, double top) =>
        Page.DrawString(line, font, brush, x, top + font.Size * 1.02);

    /// <summary>Puts a picture in a thin frame on the current page.</summary>
    /// <param name="image">The picture.</param>
    /// <param name="x">Left edge.</param>
    /// <param name="top">Upper edge, from the top of the page.</param>
    /// <param name="width">Width on paper.</param>
    /// <param name="height">Height on paper.</param>
    public void Picture(PdfDictionary image, double x, double top, double width, double height) =>
        _pictures.Add((CurrentPage, image, x, _height - top - height, width, height));

    /// <summary>Breaks text into lines no wider than asked, at spaces, and inside words that are wider than a line.</summary>
    public IReadOnlyList<string> Wrap(string text, XFont font, double width)
    {
        List<string> lines = [];
        string line = "";
        foreach (string word in Words.Tie(text).Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            string longer = line.Length == 0 ? word : line + " " + word;
            if (WidthOf(longer, font) <= width)
            {
                line = longer;
                continue;
            }
            if (line.Length > 0) lines.Add(line);
            line = word;
            while (WidthOf(line, font) > width)
            {
                int kept = Fitting(line, font, width);
                lines.Add(line[..kept]);
                line = line[kept..];
            }
        }
        if (line.Length > 0 || lines.Count == 0) lines.Add(line);
        return lines;
    }

    /// <summary>Writes the foot of every page, now that their number is known.</summary>
    public void Finish(string title)
    {
        _page?.Dispose();
        _page = null;
        XFont font = Font(7.5);
        XBrush muted = new XSolidBrush(XColor.FromArgb(0x56, 0x62, 0x70));
        for (int i = 0; i < _document.PageCount; i++)
        {
            using XGraphics page = XGraphics.FromPdfPage(_document.Pages[i], XGraphicsPdfPageOptions.Append);
            double y = _height - Margin + 4;
            page.DrawLine(new XPen(XColor.FromArgb(0xCF, 0xD6, 0xDD), 0.6), Margin, y - 13, _width - Margin, y - 13);
            string number = string.Create(CultureInfo.InvariantCulture, $"Page {i + 1} of {_document.PageCount}");
            double numberWidth = page.MeasureString(number, font).Width;
            string shown = title;
            while (shown.Length > 1 && page.MeasureString(shown, font).Width > ContentWidth - numberWidth - 20) shown = shown[..^2] + "…";
            page.DrawString(shown, font, muted, Margin, y);
            page.DrawString(number, font, muted, _width - Margin - numberWidth, y);
        }
        foreach (var page in _pictures.GroupBy(p => p.Page)) PutPictures(page.Key, [.. page.Select(p => (p.Image, p.X, p.Y, p.Width, p.Height))]);
    }

    // Written into the page by hand: the library's own way unpacks every picture and packs it again.
    private void PutPictures(PdfPage page, IReadOnlyList<(PdfDictionary Image, double X, double Y, double Width, double Height)> pictures)
    {
        PdfDictionary names = new(_document);
        page.Elements.GetDictionary("/Resources")!.Elements["/XObject"] = names;
        StringBuilder content = new();
        for (int i = 0; i < pictures.Count; i++)
        {
            (PdfDictionary image, double x, double y, double width, double height) = pictures[i];
            names.Elements.SetReference(string.Create(CultureInfo.InvariantCulture, $"/Picture{i}"), image);
            content.Append(CultureInfo.InvariantCulture, $"q {width:0.###} 0 0 {height:0.###} {x:0.###} {y:0.###} cm /Picture{i} Do Q\n");
            content.Append(CultureInfo.InvariantCulture, $"q 0.81 0.84 0.87 RG 0.5 w {x:0.###} {y:0.###} {width:0.###} {height:0.###} re S Q\n");
        }
        page.Contents.AppendContent().CreateStream(Encoding.ASCII.GetBytes(content.ToString()));
    }

    private double WidthOf(string text, XFont font)
    {
        if (_widths.TryGetValue((text, font), out double known)) return known;
        double width = Page.MeasureString(text, font).Width;
        if (_widths.Count < 20_000) _widths[(text, font)] = width;
        return width;
    }

    // Characters that fit into the width; at least one, and never half of a surrogate pair.
    private int Fitting(string word, XFont font, double width)
    {
        int low = 1, high = word.Length;
        while (low < high)
        {
            int middle = (low + high + 1) / 2;
            if (Page.MeasureString(word[..middle], font).Width <= width) low = middle;
            else high = middle - 1;
        }
        return low < word.Length && char.IsLowSurrogate(word[low]) ? (low > 1 ? low - 1 : low + 1) : low;
    }
}
