using System.Globalization;
using FlickerProbe.Footage;
using FlickerProbe.Picture;
using SkiaSharp;

namespace FlickerProbe.Files.Plots;

/// <summary>A frame of the clip with the areas found outlined and numbered, the level of each on the signal scale, and why the rest was left out.</summary>
public static class RegionsPicture
{
    /// <summary>An area left out is named when it takes up this share of the picture or more.</summary>
    private const double WorthNaming = 0.015;

    /// <summary>Draws the picture.</summary>
    /// <param name="stillPng">The frame as displayed; null draws on grey.</param>
    /// <param name="cells">The picture on a coarse grid.</param>
    /// <param name="found">What was found there.</param>
    /// <param name="orientation">How the coded picture is displayed.</param>
    /// <returns>A PNG.</returns>
    public static byte[] Draw(byte[]? stillPng, PictureCells cells, FoundAreas found, Orientation orientation)
    {
        (int width, int height) = orientation.DisplayedSize(cells.Width, cells.Height);
        using StillCanvas canvas = new(stillPng, width, height, extraBelow: 2.2f * (found.Areas.Count + 1));
        foreach (CellUse use in (CellUse[])[CellUse.Clipped, CellUse.Moving, CellUse.Patterned, CellUse.Small]) Hatch(canvas, cells, found, use, orientation);
        for (int n = 0; n < found.Areas.Count; n++)
        {
            Region region = found.Areas[n].Region;
            canvas.Numbered(canvas.Box(region.X, region.Y, region.Width, region.Height), n + 1);
        }
        foreach (CellUse use in (CellUse[])[CellUse.Clipped, CellUse.Moving, CellUse.Patterned, CellUse.Small, CellUse.Dark]) Name(canvas, cells, found, use, orientation);
        for (int n = 0; n < found.Areas.Count; n++) Scope(canvas, n, found.Areas[n], cells);
        float last = canvas.Height + (0.7f + 2.2f * found.Areas.Count) * canvas.TextHeight + canvas.Unit * 6;
        canvas.Text(Footer(found), canvas.Unit * 6, last, canvas.Unit * 10.5f, SKColors.Black);
        return canvas.ToPng();
    }

    /// <summary>Why cells were left out, in one word.</summary>
    public static string Word(CellUse use) => use switch
    {
        CellUse.Clipped => "clipped",
        CellUse.Dark => "dark",
        CellUse.Moving => "moving",
        CellUse.Patterned => "patterned",
        CellUse.Small => "too small",
        _ => throw new ArgumentOutOfRangeException(nameof(use)),
    };

    /// <summary>Lowest and highest level in an area: the levels that 5 and 95 % of its cells stay under.</summary>
    public static (double Low, double High) Range(PictureCells cells, FoundArea area)
    {
        CellRect rect = area.Cells;
        float[] levels = [.. Enumerable.Range(rect.Top, rect.Height).SelectMany(row => cells.Level.Skip(row * cells.Columns + rect.Left).Take(rect.Width)).Order()];
        return (levels[(int)(0.05 * (levels.Length - 1))], levels[(int)(0.95 * (levels.Length - 1))]);
    }

    /// <summary>Stripes over what was left out; each reason has its own direction.</summary>
    private static void Hatch(StillCanvas canvas, PictureCells cells, FoundAreas found, CellUse use, Orientation orientation)
    {
        using SKPath area = new();
        for (int cell = 0; cell < found.Use.Length; cell++)
        {
            if (found.Use[cell] == use) area.AddRect(Box(canvas, cells, new CellRect(cell % cells.Columns, cell / cells.Columns, 1, 1), orientation));
        }
        if (area.IsEmpty) return;
        canvas.Canvas.Save();
        canvas.Canvas.ClipPath(area);
        using SKPaint black = new() { Color = SKColors.Black, StrokeWidth = canvas.Unit * 1.6f, IsAntialias = true };
        using SKPaint white = new() { Color = SKColors.White, StrokeWidth = canvas.Unit * 0.8f, IsAntialias = true };
        float slope = use == CellUse.Clipped ? 1 : use == CellUse.Moving ? -1 : 0, step = canvas.Unit * 7;
        for (float at = -canvas.Width; at < canvas.Width + canvas.Height; at += step)
        {
            (SKPoint from, SKPoint to) = slope == 0
                ? (new SKPoint(0, at), new SKPoint(canvas.Width, at))
                : (new SKPoint(at, slope > 0 ? canvas.Height : 0), new SKPoint(at + canvas.Height, slope > 0 ? 0 : canvas.Height));
            canvas.Canvas.DrawLine(from, to, black);
            canvas.Canvas.DrawLine(from, to, white);
        }
        canvas.Canvas.Restore();
    }

    /// <summary>The reason, written where its area is largest.</summary>
    private static void Name(StillCanvas canvas, PictureCells cells, FoundAreas found, CellUse use, Orientation orientation)
    {
        if (found.Share(use) < WorthNaming) return;
        CellRect widest = LargestRectangle.In([.. found.Use.Select(u => u == use)], cells.Columns, cells.Rows);
        SKRect box = Box(canvas, cells, widest, orientation);
        float size = canvas.Unit * 11;
        canvas.Plate(Word(use), box.MidX - canvas.PlateWidth(Word(use), size) / 2, box.MidY - size * 0.66f, size);
    }

    /// <summary>One line of the legend: number, place, level on the scale as a bar and in figures.</summary>
    private static void Scope(StillCanvas canvas, int n, FoundArea area, PictureCells cells)
    {
        float unit = canvas.Unit, top = canvas.Height + (0.5f + 2.2f * n) * canvas.TextHeight, left = unit * 6, text = unit * 10.5f;
        canvas.Text((n + 1).ToString(CultureInfo.InvariantCulture) + (area.Position.Length > 0 ? " " + area.Position : ""), left, top + unit * 11, unit * 12, SKColors.Black);
        float from = left + canvas.Width * 0.24f, length = canvas.Width * 0.36f, y = top + unit * 3, height = unit * 10;
        (double low, double high) = Range(cells, area);
        using SKPaint band = new() { Color = new SKColor(0xD3, 0xDA, 0xE1) };
        using SKPaint frame = new() { Color = SKColors.Black, Style = SKPaintStyle.Stroke, StrokeWidth = unit * 0.7f };
        using SKPaint bar = new() { Color = new SKColor(0x1D, 0x4F, 0x7C) };
        canvas.Canvas.DrawRect(from + length * (float)LevelScopePlot.FaceLow, y, length * (float)(LevelScopePlot.FaceHigh - LevelScopePlot.FaceLow), height, band);
        canvas.Canvas.DrawRect(from + length * (float)low, y + height * 0.25f, Math.Max(unit * 1.5f, length * (float)(high - low)), height * 0.5f, bar);
        canvas.Canvas.DrawRect(from + length * (float)area.MeanLevel - unit, y, unit * 2, height, bar);
        canvas.Canvas.DrawRect(from, y, length, height, frame);
        foreach ((string label, double at) in ((string, double)[])[("0", 0), ("50", 0.5), ("80", 0.8), ("100 %", 1)])
            canvas.Text(label, from + length * (float)at, y + height + unit * 9, unit * 8.5f, SKColors.Black, SKTextAlign.Center);
        canvas.Text(string.Create(CultureInfo.InvariantCulture, $"{area.MeanLevel * 100:0} % ({low * 100:0} to {high * 100:0} %)"), from + length + unit * 16, y + height - unit, text, SKColors.Black);
    }

    private static string Footer(FoundAreas found) => found.Areas.Count == 0
        ? "Nothing here can be measured."
        : "Level on the signal scale; grey: 50 to 80 %, usual for faces.";

    private static SKRect Box(StillCanvas canvas, PictureCells cells, CellRect rect, Orientation orientation)
    {
        Region shown = rect.ToDisplayed(cells, orientation);
        return canvas.Box(shown.X, shown.Y, shown.Width, shown.Height);
    }
}
