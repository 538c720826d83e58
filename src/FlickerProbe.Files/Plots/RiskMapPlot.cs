using System.Globalization;
using OxyPlot;
using OxyPlot.Annotations;
using OxyPlot.Axes;
using OxyPlot.Series;

namespace FlickerProbe.Files.Plots;

/// <summary>Forecast depth over frame rates and exposures.</summary>
/// <param name="FrameRates">Frame rates as people say them, such as 29.97; columns of the map.</param>
/// <param name="Exposures">Exposures as people say them, such as 1/60 s, longest first; rows of the map.</param>
/// <param name="DepthHigh">Upper bound of the on-camera depth, [rate, exposure], ratio; null where the exposure doesn't fit the frame.</param>
/// <param name="Verdicts">pass, watch or fail, [rate, exposure]; null where there is none.</param>
public sealed record RiskGrid(IReadOnlyList<string> FrameRates, IReadOnlyList<string> Exposures, double?[,] DepthHigh, string?[,] Verdicts);

/// <summary>The risk map: which shutter is safe at which frame rate. Dark is bad; each cell says its bound, and a pass is framed.</summary>
public static class RiskMapPlot
{
    /// <summary>Draws the map.</summary>
    public static Plot Draw(RiskGrid grid)
    {
        int rates = grid.FrameRates.Count, exposures = grid.Exposures.Count;
        PlotModel model = HouseStyle.NewPlot("Largest depth to expect (%), by shutter");
        model.PlotAreaBorderThickness = new OxyThickness(0);
        model.Axes.Add(Categories(AxisPosition.Bottom, "Frame rate (frames per second)", grid.FrameRates, reversed: false));
        model.Axes.Add(Categories(AxisPosition.Left, "Shutter", grid.Exposures, reversed: true));

        for (int i = 0; i < rates; i++)
        {
            for (int j = 0; j < exposures; j++)
            {
                if (grid.DepthHigh[i, j] is not { } depth) continue;
                bool pass = grid.Verdicts[i, j] == "pass";
                double darkness = Math.Clamp(Math.Log10(Math.Max(depth, 1e-4) / 0.001) / 2.5, 0, 1);
                double inset = pass ? 0.07 : 0.02;
                model.Annotations.Add(new RectangleAnnotation
                {
                    MinimumX = i - 0.5 + inset,
                    MaximumX = i + 0.5 - inset,
                    MinimumY = j - 0.5 + inset,
                    MaximumY = j + 0.5 - inset,
                    Fill = Shade(darkness),
                    Stroke = pass ? HouseStyle.Ink : OxyColors.Transparent,
                    StrokeThickness = pass ? 2 : 0,
                    Text = (grid.Verdicts[i, j] switch { "pass" => "✓ ", "fail" => "× ", "watch" => "? ", _ => "" }) + Short(depth),
                    TextColor = darkness > 0.45 ? OxyColors.White : HouseStyle.Ink,
                    FontSize = rates > 8 ? HouseStyle.TextSize - 3 : HouseStyle.TextSize - 1,
                });
            }
        }
        // Without a series the axes are not laid out.
        model.Series.Add(new ScatterSeries());
        return new Plot(model, Height: 120 + 30 * exposures);
    }

    private static string Short(double depth) => (depth * 100).ToString(depth < 0.00995 ? "0.0#" : depth < 0.0995 ? "0.0" : "0", CultureInfo.InvariantCulture);

    // From pale sand through ochre to near-black plum: lightness falls all the way, so it also works in grey.
    private static OxyColor Shade(double darkness) => darkness < 0.5
        ? OxyColor.Interpolate(OxyColor.Parse("#F6F1E3"), OxyColor.Parse("#C98B4A"), darkness * 2)
        : OxyColor.Interpolate(OxyColor.Parse("#C98B4A"), OxyColor.Parse("#3A1730"), darkness * 2 - 1);

    private static CategoryAxis Categories(AxisPosition position, string title, IReadOnlyList<string> labels, bool reversed)
    {
        CategoryAxis axis = new() { Position = position, StartPosition = reversed ? 1 : 0, EndPosition = reversed ? 0 : 1, GapWidth = 0 };
        axis.Labels.AddRange(labels);
        HouseStyle.Dress(axis, title);
        axis.MajorGridlineStyle = LineStyle.None;
        axis.MajorTickSize = 0;
        return axis;
    }
}
