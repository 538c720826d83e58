using FlickerProbe.Files.Plots;

namespace FlickerProbe.Files.Reports;

/// <summary>A piece of the report. HTML and PDF are two ways to write the same row of blocks, so they can't say different things.</summary>
public abstract record Block;

/// <summary>A heading; rank 1 is the title.</summary>
public sealed record HeadingBlock(int Rank, string Text, string Anchor = "") : Block;

/// <summary>Running text. Small print is set smaller, never left out.</summary>
public sealed record TextBlock(string Text, bool Small = false) : Block;

/// <summary>Sentences one below the other.</summary>
public sealed record ListBlock(IReadOnlyList<string> Items, ListKind Kind) : Block;

/// <summary>What a list is for.</summary>
public enum ListKind
{
    /// <summary>Facts.</summary>
    Plain,
    /// <summary>Doubts about a take.</summary>
    Warning,
    /// <summary>What may harm somebody.</summary>
    Caution,
}

/// <summary>The answer for one fixture, set large.</summary>
public sealed record AnswerBlock(Answer Answer, IReadOnlyList<string> Facts) : Block;

/// <summary>A table.</summary>
public sealed record TableBlock(string Caption, IReadOnlyList<Column> Columns, IReadOnlyList<IReadOnlyList<Cell>> Rows) : Block;

/// <summary>A column: its heading and how much of the page's width it takes, relative to the others.</summary>
public sealed record Column(string Heading, double Weight = 1);

/// <summary>A cell: its text and, where it is a verdict, which.</summary>
public sealed record Cell(string Text, string? Verdict = null)
{
    /// <summary>A plain cell.</summary>
    public static implicit operator Cell(string text) => new(text);
}

/// <summary>Pictures that belong side by side where there is room.</summary>
public sealed record PicturesBlock(IReadOnlyList<Figure> Figures) : Block;

/// <summary>A picture with its caption.</summary>
/// <param name="Slug">Part of its file name.</param>
/// <param name="Caption">What it shows, for all readers, those who can't see it included.</param>
/// <param name="Plot">The plot, when it is one; drawn as SVG where possible.</param>
/// <param name="Png">The finished picture, when it is no plot or has to stay pixels.</param>
public sealed record Figure(string Slug, string Caption, Plot? Plot, Lazy<byte[]> Png)
{
    /// <summary>A plot in its vector form; null for a picture of pixels.</summary>
    public Lazy<string>? Svg { get; } = Plot is { } drawn ? new Lazy<string>(() => drawn.ToSvg()) : null;

    /// <summary>The finished picture for paper.</summary>
    public Lazy<byte[]> Print { get; init; } = Plot is { } plot ? new Lazy<byte[]>(() => plot.ForPrint().ToPng()) : Png;

    /// <summary>All that a picture of pixels depends on; null when it is not known, and for plots, which speak for themselves.</summary>
    public string? ContentKey { get; init; }

    /// <summary>A line plot.</summary>
    public static Figure Of(string slug, string caption, Plot plot) => new(slug, caption, plot, new Lazy<byte[]>(plot.ToPng));

    /// <summary>A picture of pixels.</summary>
    public static Figure OfPixels(string slug, string caption, Func<byte[]> draw, string? contentKey = null) =>
        new(slug, caption, null, new Lazy<byte[]>(draw)) { ContentKey = contentKey };
}

/// <summary>What follows starts on a new page in print.</summary>
public sealed record PageBreakBlock : Block;

/// <summary>Blocks that may be folded away on screen and are always printed.</summary>
public sealed record FoldBlock(string Summary, bool Open, IReadOnlyList<Block> Blocks) : Block;
