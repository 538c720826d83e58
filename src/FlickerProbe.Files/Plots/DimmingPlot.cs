using FlickerProbe.Units;
using OxyPlot;
using OxyPlot.Annotations;
using OxyPlot.Axes;
using OxyPlot.Series;

namespace FlickerProbe.Files.Plots;

/// <summary>One line of a dimming curve.</summary>
/// <param name="Name">What it is for, such as a format or a fixture.</param>
/// <param name="Points">Dimmer level 0…1 and depth, by rising level.</param>
public sealed record DimmingLine(string Name, IReadOnlyList<(double Dimmer, Estimate Depth)> Points);

/// <summary>Modulation depth against dimmer level, on a logarithmic depth axis, with the lines it is held against.</summary>
public static class DimmingPlot
{
    private const double Lowest = 0.0005;

    /// <summary>Draws the curves; a depth that is only an upper bound is a hollow marker at the bound.</summary>
    /// <param name="title">Title.</param>
    /// <param name="lines">The curves.</param>
    /// <param name="passLine">Depth under which a light passes; null draws none.</param>
    /// <param name="failLine">Depth over which it fails; null draws none.</param>
    public static Plot Draw(string title, IReadOnlyList<DimmingLine> lines, double? passLine, double? failLine)
    {
        PlotModel model = HouseStyle.NewPlot(title);
        model.Axes.Add(HouseStyle.Dress(new LinearAxis { Position = AxisPosition.Bottom, Minimum = 0, Maximum = 105, MajorStep = 25 }, "Dimmer level (%)"));
        model.Axes.Add(HouseStyle.DepthAxis(AxisPosition.Left, "Modulation depth", Lowest, 1.3));
        model.Legends.Add(HouseStyle.LegendBelow());
        AddLines(model, LineAnnotationType.Horizontal, passLine, failLine);

        for (int i = 0; i < lines.Count; i++)
        {
            OxyColor colour = HouseStyle.Colour(i);
            LineSeries line = new()
            {
                Title = HouseStyle.Short(lines[i].Name, 36),
                Color = colour,
                LineStyle = HouseStyle.Dash(i),
                StrokeThickness = 2.2,
                MarkerType = HouseStyle.Marker(i),
                MarkerSize = 5.5,
                MarkerFill = colour,
                MarkerStroke = OxyColors.White,
                MarkerStrokeThickness = 1,
            };
            ScatterSeries bounds = new() { MarkerType = HouseStyle.Marker(i), MarkerSize = 5.5, MarkerFill = OxyColors.White, MarkerStroke = colour, MarkerStrokeThickness = 2 };
            foreach ((double dimmer, Estimate depth) in lines[i].Points)
            {
                double level = dimmer * 100;
                line.Points.Add(new DataPoint(level, Math.Max(depth.Low > 0 ? depth.Value : depth.High, Lowest)));
                if (depth.Low > 0)
                    AddInterval(model, new DataPoint(level, Math.Max(depth.Low, Lowest)), new DataPoint(level, Math.Max(depth.High, Lowest)), colour);
                else
                    bounds.Points.Add(new ScatterPoint(level, Math.Max(depth.High, Lowest)));
            }
            model.Series.Add(line);
            model.Series.Add(bounds);
        }
        int legendRows = (lines.Sum(line => Math.Min(line.Name.Length, 36) + 8) + 65) / 66;
        return new Plot(model, Height: HouseStyle.Height + 22 * legendRows);
    }

    internal static void AddInterval(PlotModel model, DataPoint from, DataPoint to, OxyColor colour)
    {
        LineSeries whisker = new() { Color = colour, StrokeThickness = 1.6 };
        whisker.Points.Add(from);
        whisker.Points.Add(to);
        model.Series.Add(whisker);
    }

    internal static void AddLines(PlotModel model, LineAnnotationType type, double? passLine, double? failLine)
    {
        foreach ((double? at, string word, LineStyle dash) in new[] { (passLine, "pass <", LineStyle.Dash), (failLine, "fail >", LineStyle.Solid) })
        {
            if (at is not > 0) continue;
            model.Annotations.Add(new LineAnnotation
            {
                Type = type,
                X = at.Value,
                Y = at.Value,
                Color = HouseStyle.Ink,
                LineStyle = dash,
                StrokeThickness = 1.4,
                Text = $"{word} {HouseStyle.Percent(at.Value)}",
                FontSize = HouseStyle.TextSize - 2,
                TextColor = HouseStyle.Ink,
                TextHorizontalAlignment = type == LineAnnotationType.Horizontal || word[0] == 'p' ? HorizontalAlignment.Right : HorizontalAlignment.Left,
                TextVerticalAlignment = word[0] == 'p' && type == LineAnnotationType.Horizontal ? VerticalAlignment.Bottom : VerticalAlignment.Top,
                TextPadding = 4,
                // On the comparison the category axis runs downwards: 0 is the top, where room is left for these words.
                TextLinePosition = type == LineAnnotationType.Horizontal ? 1 : 0,
                TextOrientation = AnnotationTextOrientation.Horizontal,
            });
        }
    }
}
