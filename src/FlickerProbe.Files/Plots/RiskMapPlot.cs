using System.Globalization;
using FlickerProbe.Camera;
using OxyPlot;
using OxyPlot.Annotations;
using OxyPlot.Axes;
using OxyPlot.Series;

namespace FlickerProbe.Files.Plots;

/// <summary>Forecast depth over frame rates and exposures.</summary>
/// <param name="FrameRates">Frame rates as people say them, such as 29.97; columns of the map.</param>
/// <param name="Exposures">Exposures as people say them, such as 1/60 s or 172.8°, longest first within times and angles; rows of the map.</param>
/// <param name="DepthHigh">Upper bound of the on-camera depth, [rate, exposure], ratio; null where the exposure doesn't fit the frame.</param>
/// <param name="Verdicts">pass, watch or fail, [rate, exposure]; null where there is none.</param>
public sealed record RiskGrid(IReadOnlyList<string> FrameRates, IReadOnlyList<string> Exposures, double?[,] DepthHigh, string?[,] Verdicts);

/// <summary>The risk map: which shutter is safe at which frame rate. Dark is bad; each cell says its bound, and a pass is framed.</summary>
/// <remarks>Rates a thousandth apart, such as 29.97 and 30, share a column, and the worse of the two counts: side by side they would only make the
/// text too small for a phone. Shutter angles stand apart under the times.</remarks>
public static class RiskMapPlot
{
    private const int Width = 500, RowHeight = 25;

    /// <summary>Draws the map.</summary>
    public static Plot Draw(RiskGrid grid)
    {
        List<List<int>> columns = Columns(grid.FrameRates);
        List<int?> rows = Rows(grid.Exposures);
        PlotModel model = HouseStyle.NewPlot("Largest depth to expect, %");
        model.PlotAreaBorderThickness = new OxyThickness(0);
        model.Axes.Add(Categories(AxisPosition.Bottom, "Frame rate (frames per second)", columns.Select(c => string.Join("\n", c.Select(rate => grid.FrameRates[rate]))), reversed: false));
        model.Axes.Add(Categories(AxisPosition.Left, "Shutter time, then shutter angle", rows.Select(row => row is { } r ? grid.Exposures[r] : ""), reversed: true));
        for (int x = 0; x < columns.Count; x++)
        {
            for (int y = 0; y < rows.Count; y++)
            {
                if (rows[y] is { } row && Worst(grid, columns[x], row) is { } cell) model.Annotations.Add(Cell(x, y, cell.Depth, cell.Verdict));
            }
        }
        // Without a series the axes are not laid out.
        model.Series.Add(new ScatterSeries());
        return new Plot(model, Width, 125 + RowHeight * rows.Count);
    }

    private static RectangleAnnotation Cell(int x, int y, double depth, string? verdict)
    {
        bool pass = verdict == "pass";
        double darkness = Math.Clamp(Math.Log10(Math.Max(depth, 1e-4) / 0.001) / 2.5, 0, 1), inset = pass ? 0.05 : 0.02;
        return new RectangleAnnotation
        {
            MinimumX = x - 0.5 + inset,
            MaximumX = x + 0.5 - inset,
            MinimumY = y - 0.5 + inset,
            MaximumY = y + 0.5 - inset,
            Fill = Shade(darkness),
            Stroke = pass ? HouseStyle.Ink : OxyColors.Transparent,
            StrokeThickness = pass ? 1.6 : 0,
            Text = (verdict switch { "pass" => "✓\u2009", "fail" => "×\u2009", "watch" => "?\u2009", _ => "" }) + Short(depth),
            TextColor = darkness > 0.45 ? OxyColors.White : HouseStyle.Ink,
            FontSize = HouseStyle.TextSize - 2,
        };
    }

    /// <summary>The larger depth and the worse verdict of rates that share a column; null where none of them takes the exposure.</summary>
    private static (double Depth, string? Verdict)? Worst(RiskGrid grid, List<int> rates, int exposure)
    {
        int[] there = [.. rates.Where(rate => grid.DepthHigh[rate, exposure] is not null)];
        return there.Length == 0 ? null
            : (there.Max(rate => grid.DepthHigh[rate, exposure]!.Value), there.Select(rate => grid.Verdicts[rate, exposure]).MaxBy(v => Array.IndexOf([null, "pass", "watch", "fail"], v)));
    }

    /// <summary>The rates, those a thousandth apart together.</summary>
    private static List<List<int>> Columns(IReadOnlyList<string> rates)
    {
        List<List<int>> columns = [];
        for (int rate = 0; rate < rates.Count; rate++)
        {
            if (rate > 0 && Hertz(rates[rate]) / Hertz(rates[rate - 1]) is > 0.998 and < 1.002) columns[^1].Add(rate);
            else columns.Add([rate]);
        }
        return columns;
    }

    private static double Hertz(string rate) => FrameRate.TryParse(rate, out FrameRate? read) ? read.Hertz : double.NaN;

    /// <summary>The exposures, times first, with an empty row before the angles.</summary>
    private static List<int?> Rows(IReadOnlyList<string> exposures)
    {
        List<int> times = [], angles = [];
        for (int i = 0; i < exposures.Count; i++) (exposures[i].EndsWith('°') ? angles : times).Add(i);
        return [.. times, .. times.Count > 0 && angles.Count > 0 ? (int?[])[null] : [], .. angles];
    }

    /// <summary>In per cent, rounded up so that rounding never flatters.</summary>
    private static string Short(double depth)
    {
        double percent = depth * 100, step = percent < 9.95 ? 10 : 1;
        return (Math.Ceiling(percent * step - 1e-6) / step).ToString(step > 1 ? "0.0" : "0", CultureInfo.InvariantCulture);
    }

    // From pale sand through ochre to near-black plum: lightness falls all the way, so it also works in grey.
    private static OxyColor Shade(double darkness) => darkness < 0.5
        ? OxyColor.Interpolate(OxyColor.Parse("#F6F1E3"), OxyColor.Parse("#C98B4A"), darkness * 2)
        : OxyColor.Interpolate(OxyColor.Parse("#C98B4A"), OxyColor.Parse("#3A1730"), darkness * 2 - 1);

    private static CategoryAxis Categories(AxisPosition position, string title, IEnumerable<string> labels, bool reversed)
    {
        CategoryAxis axis = new() { Position = position, StartPosition = reversed ? 1 : 0, EndPosition = reversed ? 0 : 1, GapWidth = 0 };
        axis.Labels.AddRange(labels);
        HouseStyle.Dress(axis, title);
        axis.MajorGridlineStyle = LineStyle.None;
        axis.MajorTickSize = 0;
        axis.FontSize = HouseStyle.TextSize - 2;
        return axis;
    }
}
