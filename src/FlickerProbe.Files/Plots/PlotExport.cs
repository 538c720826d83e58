using System.Globalization;
using System.Text.RegularExpressions;
using FlickerProbe.Units;
using OxyPlot;
using OxyPlot.SkiaSharp;
using SkiaSharp;

namespace FlickerProbe.Files.Plots;

/// <summary>A drawn plot, ready to be saved in the two forms the report uses.</summary>
/// <param name="Model">What is drawn.</param>
/// <param name="Width">Logical width.</param>
/// <param name="Height">Logical height.</param>
public sealed record Plot(PlotModel Model, int Width = HouseStyle.Width, int Height = HouseStyle.Height)
{
    /// <summary>The plot as PNG, two pixels to the logical unit.</summary>
    public byte[] ToPng() => PlotExport.ToPng(this);

    /// <summary>The plot for paper, where two stand side by side: drawn on a smaller field, its text comes out larger.</summary>
    public Plot ForPrint() => this with { Width = Width * 5 / 6, Height = Height * 5 / 6 };

    /// <summary>The plot as an SVG element whose text is text; it fills the width it is given.</summary>
    public string ToSvg() => PlotExport.ToSvg(this);
}

internal static partial class PlotExport
{
    private const double PixelsPerUnit = 2;

    private static readonly Lazy<bool> FontIsThere = new(() =>
    {
        using SKTypeface face = SKTypeface.FromFamilyName(HouseStyle.Font);
        return face is not null && face.FamilyName == HouseStyle.Font;
    });

    // Keeps the fonts it has opened; one a thread, since it is not made for sharing.
    [ThreadStatic]
    private static SkiaRenderContext? t_measurer;

    public static byte[] ToPng(Plot plot)
    {
        RequireFont();
        // Opaque, so that the PNG is plain RGB, which a PDF takes as it is.
        using SKBitmap bitmap = new(new SKImageInfo((int)(plot.Width * PixelsPerUnit), (int)(plot.Height * PixelsPerUnit), SKColorType.Rgba8888, SKAlphaType.Opaque));
        using SKCanvas canvas = new(bitmap);
        using SkiaRenderContext context = new() { RenderTarget = RenderTarget.PixelGraphic, SkCanvas = canvas, UseTextShaping = true, DpiScale = (float)PixelsPerUnit };
        canvas.Clear(SKColors.White);
        // A model lays itself out for one size at a time, and page and print are made side by side.
        lock (plot.Model.SyncRoot)
        {
            IPlotModel model = plot.Model;
            model.Update(true);
            model.Render(context, new OxyRect(0, 0, plot.Width, plot.Height));
        }
        using SKData data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    public static string ToSvg(Plot plot)
    {
        RequireFont();
        // Measured with the font that is asked for, so that nothing overlaps; the exporter's own measure assumes another one.
        t_measurer ??= new SkiaRenderContext { SkCanvas = new SKCanvas(new SKBitmap(8, 8)), DpiScale = 1 };
        OxyPlot.SvgExporter exporter = new() { Width = plot.Width, Height = plot.Height, IsDocument = false, TextMeasurer = t_measurer };
        string svg;
        lock (plot.Model.SyncRoot) svg = exporter.ExportToString(plot.Model);
        int start = svg.IndexOf("<svg", StringComparison.Ordinal);
        int end = svg.IndexOf('>', start);
        string opening = string.Create(
            CultureInfo.InvariantCulture,
            $"<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" viewBox=\"0 0 {plot.Width} {plot.Height}\" role=\"img\" font-family=\"{HouseStyle.Font}, Verdana, sans-serif\"");
        string body = svg[(end + 1)..];
        // Each text names the font; give each the same fall-backs, for computers without it.
        body = FontName().Replace(body, $"font-family=\"{HouseStyle.Font}, Verdana, sans-serif\"");
        return opening + ">" + body.TrimEnd() + "\n";
    }

    /// <summary>A plot's vector form with a prefix before the names inside, so that several plots can stand in one page.</summary>
    public static string WithNames(string svg, string prefix) => ClipName().Replace(svg, prefix + "$0");

    /// <summary>Says plainly that the font is missing, where the drawing library would throw something unreadable.</summary>
    /// <exception cref="InputException">The font isn't installed.</exception>
    public static void RequireFont()
    {
        if (!FontIsThere.Value)
        {
            throw new InputException(
                $"The font {HouseStyle.Font} is not installed, and pictures need it: install it (Debian and Ubuntu: apt install fonts-dejavu-core) and run again.");
        }
    }

    [GeneratedRegex("clipPath[0-9]+")]
    private static partial Regex ClipName();

    [GeneratedRegex("font-family=\"DejaVu Sans\"")]
    private static partial Regex FontName();
}
