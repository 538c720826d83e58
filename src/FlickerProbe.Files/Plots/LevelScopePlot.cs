using System.Globalization;
using FlickerProbe.Files.Results;
using OxyPlot;
using OxyPlot.Annotations;
using OxyPlot.Axes;
using OxyPlot.Series;

namespace FlickerProbe.Files.Plots;

/// <summary>How the brightness of each region lies on the signal scale: a bad exposure is the commonest reason for a bad take.</summary>
public static class LevelScopePlot
{
    /// <summary>Faces are commonly exposed to 50–80 % of the scale. Common practice, no source.</summary>
    public const double FaceLow = 0.50, FaceHigh = 0.80;

    private const int LongestName = 16;

    /// <summary>Draws one bar a region: thick to the mean, thin to the peak, with what is clipped or dark written beside it.</summary>
    public static Plot Draw(IReadOnlyList<(string Name, LevelFigures Level)> regions)
    {
        PlotModel model = HouseStyle.NewPlot("Brightness on the signal scale");
        double end = Math.Max(112, regions.Select(region => region.Level.Peak * 100 + 4).DefaultIfEmpty(0).Max());
        model.Axes.Add(HouseStyle.Dress(new LinearAxis { Position = AxisPosition.Bottom, Minimum = 0, Maximum = end, MajorStep = 20 }, "Signal level (%): 0 black, 100 nominal white"));
        CategoryAxis names = new() { Position = AxisPosition.Left, StartPosition = 1, EndPosition = 0, GapWidth = 0 };
        names.Labels.AddRange(regions.Select(region => HouseStyle.Short(region.Name, LongestName)));
        HouseStyle.Dress(names, "");
        names.MajorGridlineStyle = LineStyle.None;
        // Room above the first bar for the label of the face band.
        names.Minimum = -0.95;
        names.Maximum = regions.Count - 0.4;
        model.Axes.Add(names);

        model.Annotations.Add(new RectangleAnnotation
        {
            MinimumX = FaceLow * 100, MaximumX = FaceHigh * 100, Fill = HouseStyle.Shade, Stroke = HouseStyle.Muted, StrokeThickness = 0.8, Layer = AnnotationLayer.BelowSeries,
        });
        model.Annotations.Add(Label("faces 50–80 %", 65, -0.68, HouseStyle.Muted));
        model.Annotations.Add(new LineAnnotation { Type = LineAnnotationType.Vertical, X = 100, Color = HouseStyle.Ink, StrokeThickness = 1.6, LineStyle = LineStyle.Solid });
        model.Annotations.Add(Label("clips", 101, -0.68, HouseStyle.Ink, HorizontalAlignment.Left));

        for (int i = 0; i < regions.Count; i++)
        {
            LevelFigures level = regions[i].Level;
            bool clipped = level.Clipped >= 0.001;
            model.Annotations.Add(Bar(0, level.Peak * 100, i, 0.06, clipped ? HouseStyle.Warm : HouseStyle.Muted));
            model.Annotations.Add(Bar(0, level.Mean * 100, i, 0.17, HouseStyle.Main));
            string text = string.Create(CultureInfo.InvariantCulture, $"mean {level.Mean * 100:0} %, peak {level.Peak * 100:0} %");
            if (clipped) text += string.Create(CultureInfo.InvariantCulture, $", {level.Clipped * 100:0.#} % of it clipped");
            if (level.Dark >= 0.01) text += string.Create(CultureInfo.InvariantCulture, $", {level.Dark * 100:0} % of it too dark");
            model.Annotations.Add(Label(text, 1, i + 0.36, HouseStyle.Ink, HorizontalAlignment.Left));
        }
        model.Series.Add(new ScatterSeries());
        return new Plot(model, Height: 130 + 64 * Math.Max(1, regions.Count));
    }

    private static RectangleAnnotation Bar(double from, double to, int row, double halfHeight, OxyColor colour) => new()
    {
        MinimumX = from, MaximumX = to, MinimumY = row - halfHeight, MaximumY = row + halfHeight, Fill = colour, Stroke = OxyColors.White, StrokeThickness = 0.8,
    };

    private static TextAnnotation Label(string text, double x, double y, OxyColor colour, HorizontalAlignment alignment = HorizontalAlignment.Center) => new()
    {
        Text = text,
        TextPosition = new DataPoint(x, y),
        TextHorizontalAlignment = alignment,
        TextVerticalAlignment = VerticalAlignment.Middle,
        Stroke = OxyColors.Transparent,
        FontSize = HouseStyle.TextSize - 2,
        TextColor = colour,
    };
}
