using FlickerProbe.Measurement;
using OxyPlot;
using OxyPlot.Axes;
using OxyPlot.Series;

namespace FlickerProbe.Files.Plots;

/// <summary>The band picture: what is left of the light when each row's mean is taken away; time runs across, rows run down.</summary>
public static class BandPlot
{
    /// <summary>Draws the band picture of a take; grey is the mean, white brighter, black darker.</summary>
    public static Plot Draw(TakeExhibit exhibit)
    {
        int frames = exhibit.BandPicture.GetLength(0), rows = exhibit.BandPicture.GetLength(1);
        double reach = Reach(exhibit.BandPicture);
        double[,] percent = new double[frames, rows];
        for (int n = 0; n < frames; n++)
        {
            for (int r = 0; r < rows; r++)
                percent[n, r] = Math.Clamp(exhibit.BandPicture[n, r], -reach, reach) * 100;
        }

        bool still = exhibit.BandPictureSeconds <= 0 || frames < 2;
        PlotModel model = HouseStyle.NewPlot("Bands as recorded");
        model.PlotAreaBorderThickness = new OxyThickness(1);
        model.Axes.Add(HouseStyle.Dress(new LinearAxis { Position = AxisPosition.Bottom, MajorGridlineStyle = LineStyle.None }, still ? "One frame" : "Time (s)"));
        model.Axes.Add(HouseStyle.Dress(
            new LinearAxis { Position = AxisPosition.Left, StartPosition = 1, EndPosition = 0, Minimum = 0, Maximum = 100, MajorStep = 25 },
            "Down the region (%)"));
        model.Axes.Add(HouseStyle.Dress(
            new LinearColorAxis
            {
                Position = AxisPosition.Right,
                Palette = OxyPalette.Interpolate(256, OxyColors.Black, OxyColors.White),
                Minimum = -reach * 100,
                Maximum = reach * 100,
                MajorStep = reach * 100,
                StringFormat = "+0.##;-0.##;0",
            },
            "Light against mean (%)"));
        foreach (Axis axis in model.Axes) axis.MajorGridlineStyle = LineStyle.None;
        // The tick size of a colour axis is the width of its bar.
        model.Axes[2].MajorTickSize = 16;
        if (still) model.Axes[0].LabelFormatter = _ => "";

        double halfRow = 50.0 / rows, end = still ? 1 : exhibit.BandPictureSeconds, halfFrame = end / frames / 2;
        (model.Axes[0].Minimum, model.Axes[0].Maximum) = (0, end);
        model.Series.Add(new HeatMapSeries
        {
            Data = percent,
            X0 = halfFrame,
            X1 = end - halfFrame,
            Y0 = halfRow,
            Y1 = 100 - halfRow,
            Interpolate = false,
            RenderMethod = HeatMapRenderMethod.Bitmap,
        });
        if (frames == 1)
        {
            // A heat map needs two columns: show the one frame twice.
            HeatMapSeries map = (HeatMapSeries)model.Series[0];
            double[,] twice = new double[2, rows];
            for (int r = 0; r < rows; r++) twice[0, r] = twice[1, r] = percent[0, r];
            (map.Data, map.X0, map.X1) = (twice, 0.25, 0.75);
        }
        return new Plot(model);
    }

    /// <summary>Half the span of the grey scale: the value that 1 in 200 exceeds, rounded up to 1, 2 or 5 times a power of ten; at least 0.1 %.</summary>
    internal static double Reach(float[,] picture)
    {
        float[] sizes = picture.Cast<float>().Where(float.IsFinite).Select(Math.Abs).ToArray();
        Array.Sort(sizes);
        double typical = sizes.Length == 0 ? 0 : sizes[(int)(0.995 * (sizes.Length - 1))];
        return Rounding.UpToOneTwoFive(Math.Max(typical, 0.001));
    }
}

internal static class Rounding
{
    /// <summary>The next number of the form 1, 2 or 5 times a power of ten that is not smaller.</summary>
    public static double UpToOneTwoFive(double positive)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(positive)));
        foreach (double step in new[] { 1.0, 2, 5 })
        {
            if (positive <= step * power * (1 + 1e-6)) return step * power;
        }
        return 10 * power;
    }
}
