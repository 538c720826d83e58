using System.Security.Cryptography;
using FlickerProbe.Files.Plots;
using PdfSharp.Drawing;
using PdfSharp.Pdf;

namespace FlickerProbe.Files.Reports;

/// <summary>Sets the report's blocks on pages.</summary>
internal sealed class PdfBlocks(PdfFlow flow)
{
    private static readonly XBrush Ink = new XSolidBrush(XColor.FromArgb(0x1B, 0x22, 0x2B));
    private static readonly XBrush Muted = new XSolidBrush(XColor.FromArgb(0x56, 0x62, 0x70));
    private static readonly XColor Rule = XColor.FromArgb(0x1B, 0x22, 0x2B);

    private readonly Dictionary<string, PdfDictionary> _pictures = [];
    private readonly XFont _text = PdfFlow.Font(9.5), _bold = PdfFlow.Font(9.5, bold: true), _small = PdfFlow.Font(8);

    public void Write(Block block)
    {
        switch (block)
        {
            case HeadingBlock heading: Heading(heading); break;
            case TextBlock text:
                flow.Text(text.Text, text.Small ? _small : _text, text.Small ? Muted : Ink);
                flow.Y += 4;
                break;
            case ListBlock list: List(list); break;
            case AnswerBlock answer: Answer(answer); break;
            case TableBlock table: new PdfTable(flow).Write(table); break;
            case PicturesBlock pictures: Pictures(pictures.Figures); break;
            case PageBreakBlock: if (!flow.AtTop) flow.NewPage(); break;
            case FoldBlock fold: Fold(fold); break;
            default: throw new InvalidOperationException($"The PDF has no form for {block.GetType().Name}.");
        }
    }

    /// <summary>Draws a verdict's mark into a square.</summary>
    public static void Mark(XGraphics page, string verdict, double x, double y, double size)
    {
        (byte red, byte green, byte blue) = VerdictMark.Colour(verdict);
        XColor colour = XColor.FromArgb(red, green, blue);
        double unit = size / 24;
        XPoint At((double X, double Y) point) => new(x + point.X * unit, y + point.Y * unit);
        XPen Pen(double width, XColor of) => new(of, width * unit) { LineCap = XLineCap.Round, LineJoin = XLineJoin.Round };
        switch (verdict)
        {
            case "pass":
                page.DrawEllipse(Pen(2.2, colour), x + 1.6 * unit, y + 1.6 * unit, 20.8 * unit, 20.8 * unit);
                page.DrawLines(Pen(2.8, colour), VerdictMark.Tick.Select(At).ToArray());
                break;
            case "fail":
                page.DrawRectangle(new XSolidBrush(colour), x + unit, y + unit, 22 * unit, 22 * unit);
                page.DrawLines(Pen(3.2, XColors.White), VerdictMark.CrossDown.Select(At).ToArray());
                page.DrawLines(Pen(3.2, XColors.White), VerdictMark.CrossUp.Select(At).ToArray());
                break;
            default:
                page.DrawPolygon(Pen(2.2, colour), VerdictMark.Diamond.Select(At).ToArray());
                XFont font = PdfFlow.Font(14 * unit, bold: true);
                page.DrawString("?", font, new XSolidBrush(colour), x + 12 * unit - page.MeasureString("?", font).Width / 2, y + 17 * unit);
                break;
        }
    }

    public static XBrush VerdictBrush(string verdict)
    {
        (byte red, byte green, byte blue) = VerdictMark.Colour(verdict);
        return new XSolidBrush(XColor.FromArgb(red, green, blue));
    }

    private void Heading(HeadingBlock heading)
    {
        XFont font = PdfFlow.Font(heading.Rank switch { 1 => 18, 2 => 14, 3 => 11.5, _ => 10 }, bold: true);
        double above = heading.Rank switch { 1 => 0, 2 => 14, _ => 9 };
        // A heading stays with what it heads.
        flow.Need(above + PdfFlow.LineHeight(font) + (heading.Rank == 4 ? 64 : 110));
        if (!flow.AtTop) flow.Y += above;
        if (heading.Rank == 2)
        {
            flow.Page.DrawLine(new XPen(Rule, 1.4), PdfFlow.Left, flow.Y, PdfFlow.Left + flow.ContentWidth, flow.Y);
            flow.Y += 6;
            flow.Document.Outlines.Add(heading.Text, flow.CurrentPage);
        }
        flow.Text(heading.Text, font, Ink);
        flow.Y += 3;
    }

    private void List(ListBlock list)
    {
        string lead = list.Kind switch { ListKind.Warning => "Note:", ListKind.Caution => "Caution:", _ => "•" };
        XFont leadFont = list.Kind == ListKind.Plain ? _text : _bold;
        double bar = list.Kind == ListKind.Plain ? 0 : 9;
        double indent = bar + flow.Page.MeasureString(lead, leadFont).Width + 6;
        foreach (string item in list.Items)
        {
            double height = flow.Wrap(item, _text, flow.ContentWidth - indent).Count * PdfFlow.LineHeight(_text);
            flow.Need(Math.Min(height, flow.FullHeight));
            double top = flow.Y;
            flow.Line(lead, leadFont, Ink, PdfFlow.Left + bar, top);
            flow.Text(item, _text, Ink, indent);
            if (bar > 0 && flow.Y > top) flow.Page.DrawLine(new XPen(Rule, 3), PdfFlow.Left + 2, top, PdfFlow.Left + 2, flow.Y);
            flow.Y += 4;
        }
        flow.Y += 3;
    }

    private void Answer(AnswerBlock block)
    {
        Answer answer = block.Answer;
        XFont large = PdfFlow.Font(15, bold: true), medium = PdfFlow.Font(10.5), mediumBold = PdfFlow.Font(10.5, bold: true);
        const double pad = 11, mark = 30;
        double inner = flow.ContentWidth - 2 * pad - 8;
        IReadOnlyList<string> headline = flow.Wrap(answer.Headline, large, inner - mark - 10);
        List<(string Lead, IReadOnlyList<string> Lines)> parts = [("Why:", flow.Wrap(answer.Why, medium, inner - 36))];
        parts.AddRange(answer.Do.Select(step => ("Do:", flow.Wrap(step, medium, inner - 36))));
        List<string> facts = block.Facts.SelectMany(fact => flow.Wrap(fact, _small, inner)).ToList();
        double height = 2 * pad + Math.Max(mark, headline.Count * PdfFlow.LineHeight(large)) + 6
            + parts.Sum(part => part.Lines.Count * PdfFlow.LineHeight(medium) + 3) + facts.Count * PdfFlow.LineHeight(_small);
        flow.Need(Math.Min(height, flow.FullHeight));

        double top = flow.Y, x = PdfFlow.Left + pad + 8;
        (byte red, byte green, byte blue) = VerdictMark.Colour(answer.Verdict);
        XColor colour = XColor.FromArgb(red, green, blue);
        XPen frame = new(colour, answer.Verdict == "fail" ? 2.6 : 1.4) { DashStyle = answer.Verdict is "pass" or "fail" ? XDashStyle.Solid : XDashStyle.Dash };
        flow.Page.DrawRectangle(frame, PdfFlow.Left, top, flow.ContentWidth, height);
        flow.Page.DrawRectangle(new XSolidBrush(colour), PdfFlow.Left, top, 8, height);
        Mark(flow.Page, answer.Verdict, x, top + pad, mark);
        double y = top + pad + Math.Max(0, (mark - headline.Count * PdfFlow.LineHeight(large)) / 2);
        foreach (string line in headline)
        {
            flow.Line(line, large, VerdictBrush(answer.Verdict), x + mark + 10, y);
            y += PdfFlow.LineHeight(large);
        }
        y = Math.Max(y, top + pad + mark) + 6;
        foreach ((string lead, IReadOnlyList<string> lines) in parts)
        {
            flow.Line(lead, mediumBold, Ink, x, y);
            foreach (string line in lines)
            {
                flow.Line(line, medium, Ink, x + 36, y);
                y += PdfFlow.LineHeight(medium);
            }
            y += 3;
        }
        foreach (string fact in facts)
        {
            flow.Line(fact, _small, Muted, x, y);
            y += PdfFlow.LineHeight(_small);
        }
        flow.Y = top + height + 9;
    }

    private void Pictures(IReadOnlyList<Figure> figures)
    {
        const double gap = 14;
        int perRow = figures.Count == 1 ? 1 : 2;
        double width = perRow == 1 ? Math.Min(flow.ContentWidth, 340) : (flow.ContentWidth - gap) / 2;
        for (int i = 0; i < figures.Count; i += perRow)
        {
            List<(PrintPicture Picture, double Height, IReadOnlyList<string> Caption)> row = figures.Skip(i).Take(perRow).Select(figure =>
            {
                PrintPicture picture = PrintPicture.Of(figure.Print.Value);
                // An upright frame must not fill the page; an upright plot needs its height to be read.
                double height = Math.Min(width * picture.Height / picture.Width, figure.Plot is null ? 300 : 400);
                return (picture, height, flow.Wrap(figure.Caption, _small, width));
            }).ToList();
            double Tallest(double scale) => row.Max(cell => scale * cell.Height + 4 + cell.Caption.Count * PdfFlow.LineHeight(_small));
            // Rather somewhat smaller than alone on the next page.
            double scale = Enumerable.Range(0, 8).Select(step => 1 - 0.05 * step).FirstOrDefault(scale => flow.Y + Tallest(scale) <= flow.Bottom, 1);
            double tallest = Tallest(scale);
            flow.Need(tallest);
            double x = PdfFlow.Left;
            foreach ((PrintPicture picture, double full, IReadOnlyList<string> caption) in row)
            {
                double height = scale * full;
                flow.Picture(Once(picture), x, flow.Y, height * picture.Width / picture.Height, height);
                double y = flow.Y + height + 3;
                foreach (string line in caption)
                {
                    flow.Line(line, _small, Muted, x, y);
                    y += PdfFlow.LineHeight(_small);
                }
                x += width + gap;
            }
            flow.Y += tallest + 8;
        }
    }

    // The same frame stands with several takes; the file holds it once.
    private PdfDictionary Once(PrintPicture picture)
    {
        string content = Convert.ToHexStringLower(SHA256.HashData(picture.Deflated));
        return _pictures.TryGetValue(content, out PdfDictionary? known) ? known : _pictures[content] = picture.In(flow.Document);
    }

    private void Fold(FoldBlock fold)
    {
        Heading(new HeadingBlock(3, fold.Summary));
        foreach (Block block in fold.Blocks)
        {
            if (fold.Open || block is not PicturesBlock) Write(block);
            else flow.Text("The pictures of this take are in report.html.", _small, Muted);
        }
        flow.Y += 4;
    }
}
