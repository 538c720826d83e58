using System.Globalization;
using System.Reflection;
using System.Text;
using System.Text.Encodings.Web;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using System.Text.Unicode;

namespace FlickerProbe.Files.Reports;

/// <summary>Writes the report as one HTML page that asks the network for nothing.</summary>
/// <remarks>Every text goes through the encoder; only the plots' own SVG and the style sheet do not. The page forbids itself scripts and
/// outside sources, so that even a text that slipped through could do nothing.</remarks>
public static class HtmlReport
{
    private static readonly HtmlEncoder Encoder = HtmlEncoder.Create(UnicodeRanges.All);

    /// <summary>The page as text.</summary>
    public static string Write(string title, IReadOnlyList<Block> blocks)
    {
        using StringWriter text = new(CultureInfo.InvariantCulture);
        Write(text, title, blocks);
        return text.ToString();
    }

    /// <summary>Writes the page to a stream as UTF-8 without a byte order mark. A page of many pictures is large: it is never whole in memory.</summary>
    public static void Write(Stream stream, string title, IReadOnlyList<Block> blocks)
    {
        using StreamWriter text = new(stream, AtomicFile.Utf8WithoutMark, leaveOpen: true);
        Write(text, title, blocks);
    }

    private static void Write(TextWriter text, string title, IReadOnlyList<Block> blocks)
    {
        StringBuilder page = new();
        page.Append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
        page.Append("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:\">\n");
        page.Append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>").Append(Encode(title)).Append("</title>\n<style>\n");
        page.Append(StyleSheet()).Append("</style>\n</head>\n<body>\n<main>\n");
        Writer writer = new(page, text);
        List<HeadingBlock> chapters = blocks.OfType<HeadingBlock>().Where(heading => heading.Rank == 2 && heading.Anchor.Length > 0).ToList();
        int opening = blocks.TakeWhile(block => block is HeadingBlock { Rank: 1 } or TextBlock { Small: true }).Count();
        for (int i = 0; i < blocks.Count; i++)
        {
            if (i == opening && chapters.Count > 6) writer.Navigation(chapters);
            writer.Write(blocks[i]);
        }
        page.Append("</main>\n</body>\n</html>\n");
        text.Write(page);
    }

    private static string Encode(string text) => Encoder.Encode(Words.Tie(text));

    private static string StyleSheet()
    {
        using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream("FlickerProbe.Files.Reports.Page.report.css")
            ?? throw new InvalidOperationException("The program was built without the report's style sheet.");
        using StreamReader reader = new(stream);
        return reader.ReadToEnd();
    }

    /// <param name="page">What is not yet written.</param>
    /// <param name="text">Where it goes.</param>
    private sealed class Writer(StringBuilder page, TextWriter text)
    {
        private const int BytesAtATime = 3 << 12; // whole groups of base64

        private readonly char[] _base64 = new char[BytesAtATime / 3 * 4];
        private int _figures;
        private bool _breakNext;

        public void Write(Block block)
        {
            switch (block)
            {
                case HeadingBlock heading: Heading(heading); break;
                case TextBlock text: page.Append(text.Small ? "<p class=\"small\">" : "<p>").Append(Encode(text.Text)).Append("</p>\n"); break;
                case ListBlock list: List(list); break;
                case AnswerBlock answer: Answer(answer); break;
                case TableBlock table: Table(table); break;
                case PicturesBlock pictures: Pictures(pictures); break;
                case PageBreakBlock: _breakNext = true; break;
                case FoldBlock fold: Fold(fold); break;
                default: throw new InvalidOperationException($"The page has no form for {block.GetType().Name}.");
            }
        }

        public void Navigation(IEnumerable<HeadingBlock> chapters)
        {
            page.Append("<nav aria-label=\"Sections\">");
            foreach (HeadingBlock chapter in chapters)
                page.Append("<a href=\"#").Append(Encode(chapter.Anchor)).Append("\">").Append(Encode(chapter.Text)).Append("</a> ");
            page.Append("</nav>\n");
        }

        private void Heading(HeadingBlock heading)
        {
            string tag = FormattableString.Invariant($"h{Math.Clamp(heading.Rank, 1, 4)}");
            page.Append('<').Append(tag);
            if (heading.Anchor.Length > 0) page.Append(" id=\"").Append(Encode(heading.Anchor)).Append('"');
            if (_breakNext) page.Append(" class=\"break\"");
            _breakNext = false;
            page.Append('>').Append(Encode(heading.Text)).Append("</").Append(tag).Append(">\n");
        }

        private void List(ListBlock list)
        {
            page.Append(list.Kind switch { ListKind.Warning => "<ul class=\"warning\">\n", ListKind.Caution => "<ul class=\"caution\">\n", _ => "<ul>\n" });
            foreach (string item in list.Items) page.Append("<li>").Append(Encode(item)).Append("</li>\n");
            page.Append("</ul>\n");
        }

        private void Answer(AnswerBlock block)
        {
            Answer answer = block.Answer;
            page.Append("<section class=\"answer ").Append(Class(answer.Verdict)).Append("\">\n<p class=\"headline\">").Append(VerdictMark.Svg(answer.Verdict));
            page.Append("<span>").Append(Encode(answer.Headline)).Append("</span></p>\n");
            page.Append("<p class=\"why\"><b>Why:</b> ").Append(Encode(answer.Why)).Append("</p>\n");
            foreach (string step in answer.Do) page.Append("<p class=\"do\"><b>Do:</b> ").Append(Encode(step)).Append("</p>\n");
            if (block.Facts.Count > 0) page.Append("<p class=\"facts\">").Append(string.Join("<br>", block.Facts.Select(Encode))).Append("</p>\n");
            page.Append("</section>\n");
        }

        private void Table(TableBlock table)
        {
            page.Append("<div class=\"wide\"><table>\n<caption>").Append(Encode(table.Caption)).Append("</caption>\n<colgroup>");
            double whole = table.Columns.Sum(column => column.Weight);
            foreach (Column column in table.Columns) page.Append(CultureInfo.InvariantCulture, $"<col style=\"width:{column.Weight / whole * 100:0.#}%\">");
            page.Append("</colgroup>\n<thead><tr>");
            foreach (Column column in table.Columns) page.Append("<th scope=\"col\">").Append(Encode(column.Heading)).Append("</th>");
            page.Append("</tr></thead>\n<tbody>\n");
            foreach (IReadOnlyList<Cell> row in table.Rows)
            {
                page.Append("<tr>");
                for (int i = 0; i < row.Count; i++)
                {
                    page.Append("<td data-heading=\"").Append(Encode(table.Columns[i].Heading)).Append('"');
                    if (row[i].Verdict is { } verdict) page.Append(" class=\"verdict ").Append(Class(verdict)).Append("\">").Append(VerdictMark.Svg(verdict));
                    else page.Append('>');
                    page.Append(Encode(row[i].Text)).Append("</td>");
                }
                page.Append("</tr>\n");
            }
            page.Append("</tbody>\n</table></div>\n");
        }

        private void Pictures(PicturesBlock block)
        {
            page.Append("<div class=\"figures\">\n");
            foreach (Figure figure in block.Figures)
            {
                _figures++;
                page.Append("<figure>");
                if (figure.Svg is { } svg)
                    page.Append(PlotExport.WithNames(svg.Value, FormattableString.Invariant($"f{_figures}-")));
                else
                    Pixels(figure);
                page.Append("<figcaption>").Append(Encode(figure.Caption)).Append("</figcaption></figure>\n");
            }
            page.Append("</div>\n");
        }

        private void Pixels(Figure figure)
        {
            page.Append("<img alt=\"").Append(Encode(figure.Caption)).Append("\" src=\"data:image/png;base64,");
            text.Write(page);
            page.Clear();
            byte[] png = figure.Png.Value;
            for (int at = 0; at < png.Length; at += BytesAtATime)
            {
                int count = Convert.ToBase64CharArray(png, at, Math.Min(BytesAtATime, png.Length - at), _base64, 0);
                text.Write(_base64, 0, count);
            }
            page.Append("\">");
        }

        private void Fold(FoldBlock fold)
        {
            page.Append(fold.Open ? "<details open>" : "<details>").Append("<summary>").Append(Encode(fold.Summary)).Append("</summary>\n");
            foreach (Block block in fold.Blocks) Write(block);
            page.Append("</details>\n");
        }

        private static string Class(string verdict) => verdict switch { "pass" => "pass", "fail" => "fail", _ => "watch" };
    }
}
