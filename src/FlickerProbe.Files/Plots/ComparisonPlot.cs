using FlickerProbe.Units;
using OxyPlot;
using OxyPlot.Annotations;
using OxyPlot.Axes;
using OxyPlot.Legends;
using OxyPlot.Series;

namespace FlickerProbe.Files.Plots;

/// <summary>A candidate in the comparison.</summary>
/// <param name="Name">The fixture's name.</param>
/// <param name="Depths">For each format, its depth at the worst level; null where it was not judged.</param>
public sealed record Candidate(string Name, IReadOnlyList<Estimate?> Depths);

/// <summary>Candidates side by side on one depth axis: each format's marker with its interval at the worst dimmer level.</summary>
public static class ComparisonPlot
{
    private const double Lowest = 0.0005;
    private const int LongestName = 18;

    /// <summary>Draws the comparison, the first candidate on top.</summary>
    public static Plot Draw(IReadOnlyList<Candidate> candidates, IReadOnlyList<string> formats, double? passLine, double? failLine)
    {
        PlotModel model = HouseStyle.NewPlot("Worst modulation depth on camera");
        model.Axes.Add(HouseStyle.DepthAxis(AxisPosition.Bottom, "Modulation depth at the worst level", Lowest, 1.3));
        CategoryAxis names = new() { Position = AxisPosition.Left, StartPosition = 1, EndPosition = 0, GapWidth = 0.2, Minimum = -0.95, Maximum = candidates.Count - 0.4 };
        names.Labels.AddRange(candidates.Select(candidate => HouseStyle.Short(candidate.Name, LongestName)));
        model.Axes.Add(HouseStyle.Dress(names, ""));
        model.Legends.Add(HouseStyle.LegendBelow());
        DimmingPlot.AddLines(model, LineAnnotationType.Vertical, passLine, failLine);

        for (int f = 0; f < formats.Count; f++)
        {
            OxyColor colour = HouseStyle.Colour(f);
            ScatterSeries found = Markers(f, colour, filled: true);
            found.Title = HouseStyle.Short(formats[f], 36);
            ScatterSeries bounds = Markers(f, colour, filled: false);
            for (int c = 0; c < candidates.Count; c++)
            {
                if (candidates[c].Depths[f] is not { } depth) continue;
                double y = c + (f - (formats.Count - 1) / 2.0) * Math.Min(0.25, 0.7 / formats.Count);
                if (depth.Low > 0)
                {
                    DimmingPlot.AddInterval(model, new DataPoint(Math.Max(depth.Low, Lowest), y), new DataPoint(Math.Max(depth.High, Lowest), y), colour);
                    found.Points.Add(new ScatterPoint(Math.Max(depth.Value, Lowest), y));
                }
                else
                {
                    DimmingPlot.AddInterval(model, new DataPoint(Lowest, y), new DataPoint(Math.Max(depth.High, Lowest), y), OxyColor.FromAColor(110, colour));
                    bounds.Points.Add(new ScatterPoint(Math.Max(depth.High, Lowest), y));
                }
            }
            model.Series.Add(found);
            model.Series.Add(bounds);
        }
        return new Plot(model, Height: 190 + 54 * candidates.Count + 22 * ((formats.Sum(name => name.Length + 8) + 65) / 66));
    }

    private static ScatterSeries Markers(int series, OxyColor colour, bool filled) => new()
    {
        MarkerType = HouseStyle.Marker(series),
        MarkerSize = 6,
        MarkerFill = filled ? colour : OxyColors.White,
        MarkerStroke = colour,
        MarkerStrokeThickness = 2,
    };
}
