using System.Globalization;
using FlickerProbe.Footage;
using FlickerProbe.Picture;
using SkiaSharp;

namespace FlickerProbe.Files.Plots;

/// <summary>A tone's modulation map over a frame of the clip: a disc in each cell, its area the amplitude, its hand the phase.</summary>
/// <remarks>Size and hand carry the meaning, colour none of it.</remarks>
public static class ModulationMapPicture
{
    /// <summary>Draws the picture.</summary>
    /// <param name="stillPng">The frame as displayed; null draws on grey.</param>
    /// <param name="codedWidth">Columns of the coded picture, pixels.</param>
    /// <param name="codedHeight">Rows of the coded picture, pixels.</param>
    /// <param name="orientation">How it is displayed.</param>
    /// <param name="map">The map, on the coded picture.</param>
    /// <param name="title">What tone it is, such as 120.4 Hz.</param>
    /// <param name="largest">Amplitude of the largest disc, the same for all maps of a clip.</param>
    /// <returns>A PNG.</returns>
    public static byte[] Draw(byte[]? stillPng, int codedWidth, int codedHeight, Orientation orientation, ToneMap map, string title, double largest)
    {
        (int width, int height) = orientation.DisplayedSize(codedWidth, codedHeight);
        using StillCanvas canvas = new(stillPng, width, height, extraBelow: 3.6f, grey: true);
        double full = Rounding.UpToOneTwoFive(largest);
        float cell = 0;
        for (int row = 0; row < map.Rows; row++)
        {
            for (int column = 0; column < map.Columns; column++)
            {
                int x0 = column * codedWidth / map.Columns, x1 = (column + 1) * codedWidth / map.Columns;
                int y0 = row * codedHeight / map.Rows, y1 = (row + 1) * codedHeight / map.Rows;
                Region shown = orientation.ToDisplayed(new Region(x0, y0, Math.Max(1, x1 - x0), Math.Max(1, y1 - y0)), codedWidth, codedHeight);
                SKRect box = canvas.Box(shown.X, shown.Y, shown.Width, shown.Height);
                cell = Math.Min(box.Width, box.Height);
                float amplitude = map.Amplitude[row * map.Columns + column];
                if (float.IsFinite(amplitude)) Disc(canvas, box.MidX, box.MidY, Radius(amplitude, full, cell), map.PhaseRadians[row * map.Columns + column]);
            }
        }
        float size = canvas.Unit * 15;
        canvas.Plate(title, canvas.Unit * 4, canvas.Unit * 4, size);
        Legend(canvas, full, cell);
        return canvas.ToPng();
    }

    /// <summary>Area in proportion to the amplitude; the largest just fills its cell.</summary>
    private static float Radius(double amplitude, double full, float cell) => (float)Math.Sqrt(Math.Min(1, amplitude / full)) * cell * 0.48f;

    private static void Disc(StillCanvas canvas, float x, float y, float radius, float? phase)
    {
        float line = Math.Clamp(radius * 0.16f, 0.8f, canvas.Unit * 1.2f);
        using SKPaint fill = new() { Color = new SKColor(0xFF, 0xC8, 0x3D), IsAntialias = true };
        using SKPaint edge = new() { Color = SKColors.Black, Style = SKPaintStyle.Stroke, StrokeWidth = line, IsAntialias = true };
        canvas.Canvas.DrawCircle(x, y, radius, fill);
        canvas.Canvas.DrawCircle(x, y, radius, edge);
        if (phase is not { } angle || radius < 2.5f) return;
        // Like a clock: phase 0 points up, a quarter of a period later points right.
        canvas.Canvas.DrawLine(x, y, x + radius * MathF.Sin(angle), y - radius * MathF.Cos(angle), edge);
    }

    private static void Legend(StillCanvas canvas, double full, float cell)
    {
        float unit = canvas.Unit, text = unit * 10.5f, y = canvas.Height + canvas.TextHeight * 0.95f, x = unit * 6;
        canvas.Text("Amplitude of the light, each spot's own mean = 100 %:", x, y, text, SKColors.Black);
        float at = unit * 12, middle = y + canvas.TextHeight * 1.1f;
        foreach (double share in (double[])[0.1, 0.25, 0.5, 1])
        {
            float radius = Radius(share * full, full, Math.Max(cell, unit * 8));
            Disc(canvas, at + radius, middle, radius, null);
            string label = string.Create(CultureInfo.InvariantCulture, $"{share * full * 100:0.###} %");
            canvas.Text(label, at + radius * 2 + unit * 4, middle + text * 0.36f, text, SKColors.Black);
            at += radius * 2 + unit * 8 + label.Length * text * 0.72f;
        }
        canvas.Text("hand: phase", at + unit * 2, middle + text * 0.36f, text, SKColors.Black);
    }
}
