using System.Globalization;
using OxyPlot;
using OxyPlot.Axes;
using OxyPlot.Legends;

namespace FlickerProbe.Files.Plots;

/// <summary>The one look of every picture and page: fonts, colours, sizes, axes.</summary>
/// <remarks>
/// Series differ by marker and dash as well as by colour, and the colours differ in lightness, so that a black-and-white print and a
/// colour-blind reader lose nothing. Axes carry their unit. Sizes are chosen so that the text is readable on a phone held upright.
/// </remarks>
public static class HouseStyle
{
    /// <summary>The font of pictures and PDF; set everywhere, since a missing default font falls back to something else on every computer.</summary>
    public const string Font = "DejaVu Sans";

    /// <summary>Logical size of a plot, in units in which its text is 15 high.</summary>
    public const int Width = 640, Height = 400;

    internal const double TextSize = 15;

    internal static readonly OxyColor Ink = OxyColor.Parse("#1B222B");
    internal static readonly OxyColor Muted = OxyColor.Parse("#566270");
    internal static readonly OxyColor Grid = OxyColor.Parse("#DCE1E6");
    internal static readonly OxyColor Shade = OxyColor.Parse("#EEF1F4");
    internal static readonly OxyColor Main = OxyColor.Parse("#1D4F7C");
    internal static readonly OxyColor Warm = OxyColor.Parse("#B4501A");

    private static readonly OxyColor[] SeriesColours =
        [Main, Warm, OxyColor.Parse("#3C9A8F"), OxyColor.Parse("#6B3F86"), OxyColor.Parse("#C79A1E"), OxyColor.Parse("#4A4F57")];

    private static readonly MarkerType[] SeriesMarkers =
        [MarkerType.Circle, MarkerType.Square, MarkerType.Triangle, MarkerType.Diamond, MarkerType.Circle, MarkerType.Square];

    private static readonly LineStyle[] SeriesDashes =
        [LineStyle.Solid, LineStyle.Dash, LineStyle.DashDot, LineStyle.Dot, LineStyle.LongDash, LineStyle.LongDashDot];

    internal static OxyColor Colour(int series) => SeriesColours[series % SeriesColours.Length];

    internal static MarkerType Marker(int series) => SeriesMarkers[series % SeriesMarkers.Length];

    internal static LineStyle Dash(int series) => SeriesDashes[series % SeriesDashes.Length];

    internal static PlotModel NewPlot(string title) => new()
    {
        Title = title,
        TitleFontSize = TextSize + 2,
        TitleFontWeight = FontWeights.Bold,
        TitleColor = Ink,
        TitleHorizontalAlignment = TitleHorizontalAlignment.CenteredWithinView,
        TitlePadding = 4,
        DefaultFont = Font,
        DefaultFontSize = TextSize,
        TextColor = Ink,
        Background = OxyColors.White,
        PlotAreaBorderColor = Muted,
        PlotAreaBorderThickness = new OxyThickness(1, 0, 0, 1),
        Padding = new OxyThickness(6, 6, 16, 6),
        Culture = CultureInfo.InvariantCulture,
    };

    internal static T Dress<T>(T axis, string title) where T : Axis
    {
        axis.Title = title;
        axis.TitleFontSize = TextSize;
        axis.TitleColor = Ink;
        axis.AxisTitleDistance = 6;
        axis.TicklineColor = Muted;
        axis.MajorGridlineStyle = LineStyle.Solid;
        axis.MajorGridlineColor = Grid;
        axis.MinorGridlineStyle = LineStyle.None;
        axis.MinorTickSize = 0;
        axis.MajorTickSize = 4;
        axis.AxislineStyle = LineStyle.None;
        axis.IsZoomEnabled = false;
        axis.IsPanEnabled = false;
        return axis;
    }

    /// <summary>A logarithmic axis for a ratio, labelled in per cent.</summary>
    internal static LogarithmicAxis DepthAxis(AxisPosition position, string title, double lowest, double highest) =>
        Dress(
            new LogarithmicAxis
            {
                Position = position,
                Minimum = lowest,
                Maximum = highest,
                LabelFormatter = value => value is > 0.9e-5 and < 11 ? Percent(value) : "",
            },
            title);

    internal static Legend LegendBelow() => new()
    {
        LegendPlacement = LegendPlacement.Outside,
        LegendPosition = LegendPosition.BottomCenter,
        LegendOrientation = LegendOrientation.Horizontal,
        LegendFontSize = TextSize - 1,
        LegendBorderThickness = 0,
        LegendSymbolLength = 30,
        LegendTextColor = Ink,
        LegendItemSpacing = 18,
    };

    /// <summary>A name cut to what a label holds.</summary>
    internal static string Short(string name, int longest) => name.Length <= longest ? name : name[..(longest - 1)] + "…";

    /// <summary>A ratio as per cent with as many digits as a label needs.</summary>
    internal static string Percent(double ratio) => (ratio * 100).ToString(ratio < 0.0995 ? "0.###" : "0.#", CultureInfo.InvariantCulture) + " %";
}
