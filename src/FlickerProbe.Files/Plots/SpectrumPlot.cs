using System.Globalization;
using FlickerProbe.Measurement;
using OxyPlot;
using OxyPlot.Annotations;
using OxyPlot.Axes;
using OxyPlot.Series;

namespace FlickerProbe.Files.Plots;

/// <summary>A found tone as the spectrum marks it.</summary>
/// <param name="Abscissa">Place on the frequency axis, in the unit of the spectrum.</param>
/// <param name="Amplitude">On-camera amplitude, ratio.</param>
/// <param name="Label">What to write at it.</param>
public sealed record MarkedTone(double Abscissa, double Amplitude, string Label);

/// <summary>The spectrum of a take, with the found tones labelled and the detection limit drawn.</summary>
public static class SpectrumPlot
{
    private const int MostLabels = 6;
    private const double TimesHighest = 4;

    /// <summary>Draws the spectrum.</summary>
    /// <param name="exhibit">The spectrum; null draws the tones alone.</param>
    /// <param name="tones">Found tones, largest first.</param>
    /// <param name="detectionLimit">Smallest on-camera amplitude the take could have shown, ratio.</param>
    /// <param name="isInHertz">Whether the abscissa is hertz, else bands per picture height.</param>
    public static Plot Draw(TakeExhibit? exhibit, IReadOnlyList<MarkedTone> tones, double detectionLimit, bool isInHertz)
    {
        PlotModel model = HouseStyle.NewPlot("Spectrum of the recording");
        double furthest = Math.Max(exhibit?.SpectrumFrequencyHz.LastOrDefault() ?? 0, tones.Select(tone => tone.Abscissa * 1.08).DefaultIfEmpty(0).Max());
        // What was found is looked at, not the empty end.
        if (tones.Count > 0) furthest = Math.Min(furthest, Math.Max(TimesHighest * tones.Max(tone => tone.Abscissa), isInHertz ? 1000 : 10));
        if (furthest <= 0) furthest = isInHertz ? 1000 : 10;
        double tallest = Math.Max(tones.Select(tone => tone.Amplitude).DefaultIfEmpty(0).Max(), exhibit?.SpectrumAmplitude.DefaultIfEmpty(0).Max() ?? 0);
        double top = Math.Clamp(Math.Max(tallest, detectionLimit) * 12, 0.01, 10);
        double floor = Math.Clamp(Math.Min(detectionLimit, tallest > 0 ? tallest : 1) / 30, 1e-5, top / 100);

        model.Axes.Add(HouseStyle.Dress(
            new LinearAxis { Position = AxisPosition.Bottom, Minimum = -furthest * 0.015, Maximum = furthest },
            isInHertz ? "Frequency of the light (Hz)" : "Bands in the picture height"));
        model.Axes.Add(HouseStyle.DepthAxis(AxisPosition.Left, "Amplitude on camera", floor, top));

        if (exhibit is not null)
        {
            LineSeries line = new() { Color = HouseStyle.Muted, StrokeThickness = 1.1 };
            line.Points.AddRange(exhibit.SpectrumFrequencyHz.Zip(exhibit.SpectrumAmplitude, (x, y) => new DataPoint(x, Math.Max(y, floor))));
            model.Series.Add(line);
        }
        if (detectionLimit > 0)
        {
            model.Annotations.Add(new LineAnnotation
            {
                Type = LineAnnotationType.Horizontal,
                Y = detectionLimit,
                Color = HouseStyle.Ink,
                LineStyle = LineStyle.Dash,
                StrokeThickness = 1.4,
                Text = "detection limit " + HouseStyle.Percent(detectionLimit),
                FontSize = HouseStyle.TextSize - 2,
                TextColor = HouseStyle.Ink,
                TextHorizontalAlignment = HorizontalAlignment.Right,
                TextVerticalAlignment = VerticalAlignment.Bottom,
                TextPadding = 4,
                TextLinePosition = 1,
            });
        }

        StemSeries stems = new()
        {
            Base = floor,
            Color = HouseStyle.Warm,
            StrokeThickness = 2.4,
            MarkerType = MarkerType.Circle,
            MarkerSize = 5,
            MarkerFill = HouseStyle.Warm,
        };
        stems.Points.AddRange(tones.Select(tone => new DataPoint(tone.Abscissa, tone.Amplitude)));
        model.Series.Add(stems);
        foreach ((MarkedTone tone, int storey) in Storeys(tones.Take(MostLabels), furthest))
        {
            model.Annotations.Add(new TextAnnotation
            {
                Text = tone.Label,
                TextPosition = new DataPoint(tone.Abscissa, tone.Amplitude * Math.Pow(top / floor, 0.02 + 0.062 * storey)),
                TextHorizontalAlignment = tone.Abscissa > furthest * 0.8 ? HorizontalAlignment.Right : tone.Abscissa < furthest * 0.12 ? HorizontalAlignment.Left : HorizontalAlignment.Center,
                TextVerticalAlignment = VerticalAlignment.Bottom,
                Stroke = OxyColors.Transparent,
                Background = OxyColor.FromAColor(215, OxyColors.White),
                Padding = new OxyThickness(2, 0, 2, 0),
                FontSize = HouseStyle.TextSize - 1,
                FontWeight = FontWeights.Bold,
                TextColor = HouseStyle.Ink,
            });
        }
        return new Plot(model);
    }

    /// <summary>Gives labels that stand close together different heights.</summary>
    private static IEnumerable<(MarkedTone Tone, int Storey)> Storeys(IEnumerable<MarkedTone> tones, double furthest)
    {
        List<(double Abscissa, double Amplitude, int Storey)> placed = [];
        foreach (MarkedTone tone in tones.OrderBy(tone => tone.Abscissa))
        {
            int storey = 0;
            while (placed.Any(other => other.Storey == storey && Math.Abs(other.Abscissa - tone.Abscissa) < furthest * 0.2
                && Math.Abs(Math.Log10(other.Amplitude / tone.Amplitude)) < 0.5)) storey++;
            placed.Add((tone.Abscissa, tone.Amplitude, storey));
            yield return (tone, storey);
        }
    }

    /// <summary>A frequency as a label: <c>100.3 Hz</c>, <c>1.00 kHz</c>.</summary>
    public static string Hertz(double hertz) => hertz >= 10_000
        ? (hertz / 1000).ToString("0.##", CultureInfo.InvariantCulture) + " kHz"
        : hertz.ToString(hertz < 10 ? "0.##" : hertz < 1000 ? "0.#" : "0", CultureInfo.InvariantCulture) + " Hz";
}
