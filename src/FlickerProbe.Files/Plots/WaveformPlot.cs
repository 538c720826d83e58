using OxyPlot;
using OxyPlot.Annotations;
using OxyPlot.Axes;
using OxyPlot.Series;

namespace FlickerProbe.Files.Plots;

/// <summary>The light over one period as the rows saw it, with its 95 % interval.</summary>
public static class WaveformPlot
{
    /// <summary>Draws the waveform.</summary>
    /// <param name="waveform">Samples over one period, relative to the mean (1 = mean); at least two.</param>
    /// <param name="halfWidth">Half-width of the interval, same unit; null when unknown.</param>
    /// <param name="periodSeconds">Length of the period; null when the frequency is open, and the axis is then a share of the period.</param>
    public static Plot Draw(IReadOnlyList<double> waveform, double? halfWidth, double? periodSeconds)
    {
        PlotModel model = HouseStyle.NewPlot("Light over one period, as recorded");
        (double scale, string title) = periodSeconds switch
        {
            null => (1.0, "Share of one period"),
            < 0.0015 => (periodSeconds.Value * 1e6, "Time (µs)"),
            < 1.5 => (periodSeconds.Value * 1e3, "Time (ms)"),
            _ => (periodSeconds.Value, "Time (s)"),
        };

        double spread = halfWidth ?? 0;
        double low = waveform.Min() - spread, high = waveform.Max() + spread, room = Math.Max((high - low) * 0.1, 0.0005);
        model.Axes.Add(HouseStyle.Dress(new LinearAxis { Position = AxisPosition.Bottom, Minimum = 0, Maximum = scale }, title));
        model.Axes.Add(HouseStyle.Dress(
            new LinearAxis { Position = AxisPosition.Left, Minimum = (low - room) * 100, Maximum = (high + room) * 100 }, "Light (% of mean)"));

        DataPoint At(int i, double offset) => new(scale * i / waveform.Count, (waveform[i % waveform.Count] + offset) * 100);
        int[] steps = Enumerable.Range(0, waveform.Count + 1).ToArray();
        if (spread > 0)
        {
            AreaSeries band = new() { Fill = OxyColor.FromAColor(70, HouseStyle.Main), Color = OxyColors.Transparent, Color2 = OxyColors.Transparent, StrokeThickness = 0 };
            band.Points.AddRange(steps.Select(i => At(i, spread)));
            band.Points2.AddRange(steps.Select(i => At(i, -spread)));
            model.Series.Add(band);
        }
        model.Annotations.Add(new LineAnnotation { Type = LineAnnotationType.Horizontal, Y = 100, Color = HouseStyle.Muted, LineStyle = LineStyle.Dash, StrokeThickness = 1.2 });
        LineSeries line = new() { Color = HouseStyle.Main, StrokeThickness = 2.4 };
        line.Points.AddRange(steps.Select(i => At(i, 0)));
        model.Series.Add(line);
        return new Plot(model);
    }
}
