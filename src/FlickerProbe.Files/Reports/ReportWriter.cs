using System.Globalization;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Reports;

/// <summary>Paper of the PDF.</summary>
public enum Paper
{
    /// <summary>210 × 297 mm.</summary>
    A4,
    /// <summary>8.5 × 11 in.</summary>
    Letter,
}

/// <summary>What the report folder holds and on which paper.</summary>
/// <param name="Paper">Paper of the PDF.</param>
/// <param name="Pdf">Whether to write the PDF.</param>
/// <param name="Pictures">Whether to write the pictures as files of their own.</param>
/// <param name="Store">Where finished pictures are kept between runs; null to draw all anew.</param>
public sealed record ReportOptions(Paper Paper = Paper.A4, bool Pdf = true, bool Pictures = true, IPictureStore? Store = null);

/// <summary>Writes the report of a result to disk; each file appears whole or not at all.</summary>
public static class ReportWriter
{
    /// <summary>
    /// Writes <c>result.json</c>, <c>takes.csv</c>, <c>beats.csv</c>, <c>risk-map.csv</c> where there is a map, <c>report.html</c>, <c>report.pdf</c> and <c>pictures/</c> into a folder. The pictures are those
    /// of the decision, of each fixture and of its worst level; those of the other levels are in the page only.
    /// </summary>
    /// <exception cref="Units.InputException">A file can't be written, or the font is missing.</exception>
    /// <exception cref="OperationCanceledException">It was cancelled; nothing was written.</exception>
    public static void Write(ResultDocument document, string folder, ReportOptions options, CancellationToken cancellation = default)
    {
        List<(string Path, Action<Stream> Content)> numbers =
        [
            (Path.Combine(folder, "result.json"), AtomicFile.Content(ResultJson.Write(document))),
            (Path.Combine(folder, "takes.csv"), AtomicFile.Content(TakesCsv.Write(document))),
            (Path.Combine(folder, "beats.csv"), AtomicFile.Content(BeatsCsv.Write(document))),
        ];
        if (RiskMapCsv.Write(document) is { } risks) numbers.Add((Path.Combine(folder, "risk-map.csv"), AtomicFile.Content(risks)));
        cancellation.ThrowIfCancellationRequested();
        List<(string Path, Action<Stream> Content)> pages;
        try
        {
            pages = Pages(document, folder, options, cancellation);
        }
        catch (Units.InputException)
        {
            // No font: the numbers are worth most and need none.
            AtomicFile.WriteAll(numbers);
            throw;
        }
        // All at once and at the end: an interrupted run leaves no half report, nor an old page beside new numbers.
        cancellation.ThrowIfCancellationRequested();
        AtomicFile.WriteAll([.. numbers, .. pages]);
        if (options.Pictures) RemoveOwnOldPictures(Path.Combine(folder, PicturesFolder), pages.Select(page => Path.GetFileName(page.Path)));
    }

    private const string PicturesFolder = "pictures";

    private static List<(string Path, Action<Stream> Content)> Pages(ResultDocument document, string folder, ReportOptions options, CancellationToken cancellation)
    {
        IReadOnlyList<Block> blocks = ReportContent.Build(document);
        if (options.Store is { } store) blocks = KeptFigures.From(store, blocks);
        Draw(blocks, options, cancellation);
        // What drawing needed is done with; setting the print comes next.
        Pipeline.LargePlanes.GiveBack();
        string title = ReportContent.Title(document);
        List<(string, Action<Stream>)> pages = [(Path.Combine(folder, "report.html"), stream => HtmlReport.Write(stream, title, blocks))];
        if (options.Pictures) pages.AddRange(Name(blocks).Select(picture => (Path.Combine(folder, PicturesFolder, picture.Name), AtomicFile.Content(picture.Figure.Png.Value))));
        if (options.Pdf) pages.Add((Path.Combine(folder, "report.pdf"), AtomicFile.Content(PdfReport.Write(title, blocks, options.Paper, document.Created, cancellation))));
        return pages;
    }

    /// <summary>Writes only the HTML page, as for a single clip.</summary>
    /// <exception cref="Units.InputException">The file can't be written, or the font is missing.</exception>
    public static void WriteHtml(ResultDocument document, string path) =>
        AtomicFile.WriteAll([(path, stream => HtmlReport.Write(stream, ReportContent.Title(document), ReportContent.Build(document)))]);

    // Pictures take most of the time; drawn on all cores, each once for page, print and file.
    private static void Draw(IReadOnlyList<Block> blocks, ReportOptions options, CancellationToken cancellation) =>
        Parallel.ForEach(Figures(blocks, open: true), new ParallelOptions { CancellationToken = cancellation }, entry =>
        {
            (Figure figure, bool open) = entry;
            _ = figure.Svg?.Value;
            // Only what is unfolded goes into the print and the folder.
            if (figure.Plot is null || (open && options.Pictures)) _ = figure.Png.Value;
            if (open && options.Pdf) _ = figure.Print.Value;
        });

    private static IEnumerable<(Figure Figure, bool Open)> Figures(IEnumerable<Block> blocks, bool open) => blocks.SelectMany(block => block switch
    {
        PicturesBlock pictures => pictures.Figures.Select(figure => (figure, open)),
        FoldBlock fold => Figures(fold.Blocks, open && fold.Open),
        _ => [],
    });

    /// <summary>Names the pictures in their order of appearance: number, what they belong to, what they show.</summary>
    internal static List<(string Name, Figure Figure)> Name(IReadOnlyList<Block> blocks)
    {
        List<(string, Figure)> named = [];
        string place = "";
        Collect(blocks);
        return named;

        void Collect(IEnumerable<Block> row)
        {
            foreach (Block block in row)
            {
                switch (block)
                {
                    case HeadingBlock { Rank: 2 } heading: place = Slug(heading.Text); break;
                    case FoldBlock { Open: true } fold:
                        place = Slug(fold.Summary[..Math.Max(0, fold.Summary.LastIndexOf(':'))]);
                        Collect(fold.Blocks);
                        break;
                    case PicturesBlock pictures:
                        foreach (Figure figure in pictures.Figures)
                            named.Add((string.Create(CultureInfo.InvariantCulture, $"{named.Count + 1:000}-{(place.Length > 0 ? place + "-" : "")}{figure.Slug}.png"), figure));
                        break;
                }
            }
        }
    }

    // A name as a file name that every system takes: a–z, 0–9 and hyphens, at most 40 long.
    private static string Slug(string text)
    {
        char[] kept = text.ToLowerInvariant().Select(c => char.IsAsciiLetterOrDigit(c) ? c : '-').ToArray();
        string slug = string.Join('-', new string(kept).Split('-', StringSplitOptions.RemoveEmptyEntries));
        return slug.Length <= 40 ? slug : slug[..40].TrimEnd('-');
    }

    // Pictures of an earlier run with other names would be taken for this run's; only files named like ours are removed.
    private static void RemoveOwnOldPictures(string folder, IEnumerable<string> keep)
    {
        if (!Directory.Exists(folder)) return;
        HashSet<string> kept = new(keep, StringComparer.OrdinalIgnoreCase);
        foreach (string path in Directory.EnumerateFiles(folder, "*.png"))
        {
            string name = Path.GetFileName(path);
            bool ours = name.Length > 4 && name[..3].All(char.IsAsciiDigit) && name[3] == '-';
            if (ours && !kept.Contains(name)) File.Delete(path);
        }
    }
}
