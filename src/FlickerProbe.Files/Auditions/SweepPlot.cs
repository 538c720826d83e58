using FlickerProbe.Files.Plots;
using FlickerProbe.Footage;
using OxyPlot;
using OxyPlot.Annotations;
using OxyPlot.Axes;
using OxyPlot.Series;

namespace FlickerProbe.Files.Auditions;

/// <summary>The level of a sweep over time with the steady stretches that were found, so that a person sees why they are not those that were listed.</summary>
public static class SweepPlot
{
    private const double Lowest = 1e-4;
    private const int MostPoints = 4000;

    /// <summary>Draws the level relative to the brightest stretch, on a logarithmic scale, with each stretch shaded and numbered.</summary>
    /// <param name="title">Title, such as the clip's name.</param>
    /// <param name="reading">What was found.</param>
    public static Plot Draw(string title, LevelStepsReading reading)
    {
        PlotModel model = HouseStyle.NewPlot(title);
        double seconds = reading.FrameLevels.Length * reading.FramePeriodSeconds;
        double brightest = Math.Max(1e-9, reading.Stretches.Count > 0 ? reading.Stretches.Max(s => s.Level) : reading.FrameLevels.DefaultIfEmpty(1).Max());
        double darkest = Math.Max(Lowest, reading.FrameLevels.DefaultIfEmpty(1).Min() / brightest);
        model.Axes.Add(HouseStyle.Dress(new LinearAxis { Position = AxisPosition.Bottom, Minimum = 0, Maximum = seconds }, "Time (s)"));
        LogarithmicAxis level = HouseStyle.DepthAxis(AxisPosition.Left, "Level, brightest stretch = 100 %", darkest / 2, 2.5);
        model.Axes.Add(level);
        for (int i = 0; i < reading.Stretches.Count; i++)
        {
            LevelStretch stretch = reading.Stretches[i];
            double from = stretch.FirstFrame * reading.FramePeriodSeconds, to = (stretch.FirstFrame + stretch.FrameCount) * reading.FramePeriodSeconds;
            model.Annotations.Add(new RectangleAnnotation
            {
                MinimumX = from, MaximumX = to, Fill = HouseStyle.Shade, Layer = AnnotationLayer.BelowSeries,
                Text = (i + 1).ToString(System.Globalization.CultureInfo.InvariantCulture), TextColor = HouseStyle.Ink, FontSize = HouseStyle.TextSize,
                TextPosition = new DataPoint((from + to) / 2, 1.7), TextHorizontalAlignment = HorizontalAlignment.Center, TextVerticalAlignment = VerticalAlignment.Middle,
            });
            var mean = new LineSeries { Color = HouseStyle.Warm, StrokeThickness = 3 };
            mean.Points.Add(new DataPoint(from, Math.Max(darkest / 2, stretch.Level / brightest)));
            mean.Points.Add(new DataPoint(to, Math.Max(darkest / 2, stretch.Level / brightest)));
            model.Series.Add(mean);
        }
        var line = new LineSeries { Color = HouseStyle.Main, StrokeThickness = 1 };
        int step = Math.Max(1, reading.FrameLevels.Length / MostPoints);
        for (int n = 0; n < reading.FrameLevels.Length; n += step)
            line.Points.Add(new DataPoint(n * reading.FramePeriodSeconds, Math.Max(darkest / 2, reading.FrameLevels[n] / brightest)));
        model.Series.Insert(0, line);
        return new Plot(model);
    }
}
