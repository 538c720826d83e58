using System.Globalization;
using FlickerProbe.Files.Results;
using SkiaSharp;

namespace FlickerProbe.Files.Plots;

/// <summary>A frame of the clip with its measured regions outlined and numbered.</summary>
public static class StillPicture
{
    private const int LongestSide = 960;

    /// <summary>Draws the regions over the frame.</summary>
    /// <param name="stillPng">The frame as displayed, PNG or JPEG; null draws the outlines on grey.</param>
    /// <param name="displayWidth">Width in pixels that the regions refer to.</param>
    /// <param name="displayHeight">Height in pixels that the regions refer to.</param>
    /// <param name="regions">The regions with the number each carries.</param>
    /// <returns>A PNG with the clip's own shape, its longer side at most 960 pixels.</returns>
    public static byte[] Draw(byte[]? stillPng, int displayWidth, int displayHeight, IReadOnlyList<(int Number, RegionResult Region)> regions)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(displayWidth);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(displayHeight);
        PlotExport.RequireFont();
        float scale = Math.Min(1.5f, (float)LongestSide / Math.Max(displayWidth, displayHeight));
        int width = Math.Max(1, (int)Math.Round(displayWidth * scale)), height = Math.Max(1, (int)Math.Round(displayHeight * scale));
        using SKBitmap canvasBitmap = new(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using SKCanvas canvas = new(canvasBitmap);
        canvas.Clear(new SKColor(0x80, 0x80, 0x80));
        using SKBitmap? still = stillPng is null ? null : PngPicture.Decode(stillPng);
        if (still is not null)
        {
            using SKImage image = SKImage.FromBitmap(still);
            using SKPaint smooth = new() { FilterQuality = SKFilterQuality.High };
            canvas.DrawImage(image, new SKRect(0, 0, width, height), smooth);
        }

        float unit = Math.Max(width, height) / 400f;
        using SKTypeface face = SKTypeface.FromFamilyName(HouseStyle.Font, SKFontStyle.Bold);
        foreach ((int number, RegionResult region) in regions)
        {
            SKRect box = new(region.X * scale, region.Y * scale, (region.X + region.Width) * scale, (region.Y + region.Height) * scale);
            Outline(canvas, box, unit);
            Number(canvas, box, number, unit, face);
        }
        using SKData data = canvasBitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    // A white line on a black one stands out from any picture.
    private static void Outline(SKCanvas canvas, SKRect box, float unit)
    {
        using SKPaint black = new() { Style = SKPaintStyle.Stroke, Color = SKColors.Black, StrokeWidth = unit * 3.2f, IsAntialias = true };
        using SKPaint white = new() { Style = SKPaintStyle.Stroke, Color = SKColors.White, StrokeWidth = unit * 1.4f, IsAntialias = true };
        canvas.DrawRect(box, black);
        canvas.DrawRect(box, white);
    }

    private static void Number(SKCanvas canvas, SKRect box, int number, float unit, SKTypeface face)
    {
        using SKPaint plate = new() { Color = SKColors.Black, IsAntialias = true };
        using SKPaint ink = new() { Color = SKColors.White, Typeface = face, TextSize = unit * 15, IsAntialias = true, TextAlign = SKTextAlign.Center };
        string text = number.ToString(CultureInfo.InvariantCulture);
        float size = unit * 20;
        SKRect square = new(box.Left, box.Top, box.Left + Math.Max(size, ink.MeasureText(text) + unit * 8), box.Top + size);
        canvas.DrawRect(square, plate);
        canvas.DrawText(text, square.MidX, square.MidY + unit * 5.5f, ink);
    }
}
