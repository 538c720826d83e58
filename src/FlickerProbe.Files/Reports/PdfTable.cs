using PdfSharp.Drawing;

namespace FlickerProbe.Files.Reports;

/// <summary>Sets a table, repeating its heading on each page; a row taller than a page runs on over the next.</summary>
internal sealed class PdfTable(PdfFlow flow)
{
    private const double Pad = 3, ColumnGap = 8, MarkSize = 9;

    private static readonly XBrush Ink = new XSolidBrush(XColor.FromArgb(0x1B, 0x22, 0x2B));
    private static readonly XPen Strong = new(XColor.FromArgb(0x1B, 0x22, 0x2B), 1), Faint = new(XColor.FromArgb(0xCF, 0xD6, 0xDD), 0.6);

    private readonly XFont _text = PdfFlow.Font(8), _bold = PdfFlow.Font(8, bold: true), _caption = PdfFlow.Font(9.5, bold: true);

    public void Write(TableBlock table)
    {
        double[] widths = Widths(table.Columns);
        double line = PdfFlow.LineHeight(_text);
        // Caption and heading stay with the first row.
        double first = table.Rows.Count == 0 ? 0 : Math.Min(Lines(table.Rows[0], widths).Max(cell => cell.Count) * line, flow.FullHeight / 2);
        flow.Need(4 + PdfFlow.LineHeight(_caption) + HeadingHeight(table.Columns, widths) + first + 2 * Pad + 2);
        flow.Y += 4;
        flow.Text(table.Caption, _caption, Ink);
        Heading(table.Columns, widths);
        foreach (IReadOnlyList<Cell> row in table.Rows)
        {
            IReadOnlyList<string>[] lines = Lines(row, widths);
            int count = lines.Max(cell => cell.Count), done = 0;
            if (flow.Y + count * line + 2 * Pad > flow.Bottom)
            {
                flow.NewPage();
                Heading(table.Columns, widths);
            }
            while (done < count)
            {
                int fitting = Math.Max(1, Math.Min(count - done, (int)((flow.Bottom - flow.Y - 2 * Pad) / line)));
                Draw(row, lines, widths, done, fitting, line);
                done += fitting;
                if (done < count)
                {
                    flow.NewPage();
                    Heading(table.Columns, widths);
                }
            }
        }
        flow.Y += 8;
    }

    private IReadOnlyList<string>[] Lines(IReadOnlyList<Cell> row, double[] widths) => row.Select((cell, i) =>
        flow.Wrap(cell.Text, cell.Verdict is null ? _text : _bold, widths[i] - ColumnGap - (cell.Verdict is null ? 0 : MarkSize + 3))).ToArray();

    private double HeadingHeight(IReadOnlyList<Column> columns, double[] widths) =>
        columns.Select((column, i) => flow.Wrap(column.Heading, _bold, widths[i] - ColumnGap).Count).Max() * PdfFlow.LineHeight(_bold) + Pad + 1;

    private double[] Widths(IReadOnlyList<Column> columns)
    {
        double whole = columns.Sum(column => column.Weight);
        return columns.Select(column => column.Weight / whole * flow.ContentWidth).ToArray();
    }

    private void Heading(IReadOnlyList<Column> columns, double[] widths)
    {
        IReadOnlyList<string>[] lines = columns.Select((column, i) => flow.Wrap(column.Heading, _bold, widths[i] - ColumnGap)).ToArray();
        double line = PdfFlow.LineHeight(_bold), height = lines.Max(cell => cell.Count) * line + Pad, x = PdfFlow.Left;
        for (int i = 0; i < columns.Count; i++)
        {
            double y = flow.Y + height - lines[i].Count * line - 1;
            foreach (string text in lines[i])
            {
                flow.Line(text, _bold, Ink, x, y);
                y += line;
            }
            x += widths[i];
        }
        flow.Y += height + 1;
        flow.Page.DrawLine(Strong, PdfFlow.Left, flow.Y, PdfFlow.Left + flow.ContentWidth, flow.Y);
    }

    private void Draw(IReadOnlyList<Cell> row, IReadOnlyList<string>[] lines, double[] widths, int first, int count, double line)
    {
        double x = PdfFlow.Left, top = flow.Y + Pad;
        for (int i = 0; i < row.Count; i++)
        {
            double textX = x;
            if (row[i].Verdict is { } verdict)
            {
                if (first == 0) PdfBlocks.Mark(flow.Page, verdict, x, top + 0.5, MarkSize);
                textX += MarkSize + 3;
            }
            double y = top;
            foreach (string text in lines[i].Skip(first).Take(count))
            {
                flow.Line(text, row[i].Verdict is null ? _text : _bold, row[i].Verdict is { } of ? PdfBlocks.VerdictBrush(of) : Ink, textX, y);
                y += line;
            }
            x += widths[i];
        }
        flow.Y = top + count * line + Pad;
        flow.Page.DrawLine(Faint, PdfFlow.Left, flow.Y, PdfFlow.Left + flow.ContentWidth, flow.Y);
    }
}
