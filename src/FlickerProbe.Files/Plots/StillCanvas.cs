using System.Globalization;
using SkiaSharp;

namespace FlickerProbe.Files.Plots;

/// <summary>A frame of a clip to draw on, in the clip's own displayed pixels.</summary>
/// <remarks>Marks are white on black or black on white, so that they stand out from any picture and on paper.</remarks>
internal sealed class StillCanvas : IDisposable
{
    private const int LongestSide = 960;

    private readonly SKBitmap _bitmap;
    private readonly SKTypeface _face = SKTypeface.FromFamilyName(HouseStyle.Font, SKFontStyle.Bold);

    /// <summary>A canvas with the frame on it.</summary>
    /// <param name="stillPng">The frame as displayed, PNG or JPEG; null: grey.</param>
    /// <param name="displayWidth">Displayed width of the clip, pixels.</param>
    /// <param name="displayHeight">Displayed height, pixels.</param>
    /// <param name="extraBelow">Room below the picture for a legend, in text heights.</param>
    /// <param name="grey">Whether the frame is drawn without its colours and paler, as a ground for marks.</param>
    public StillCanvas(byte[]? stillPng, int displayWidth, int displayHeight, float extraBelow = 0, bool grey = false)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(displayWidth);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(displayHeight);
        PlotExport.RequireFont();
        Scale = Math.Min(extraBelow > 0 ? 8 : 1.5f, (float)LongestSide / Math.Max(displayWidth, displayHeight));
        Width = Math.Max(1, (int)Math.Round(displayWidth * Scale));
        Height = Math.Max(1, (int)Math.Round(displayHeight * Scale));
        Unit = Math.Max(Width, Height) / 400f;
        _bitmap = new SKBitmap(new SKImageInfo(Width, Height + (int)Math.Ceiling(extraBelow * TextHeight), SKColorType.Rgba8888, SKAlphaType.Opaque));
        Canvas = new SKCanvas(_bitmap);
        Canvas.Clear(SKColors.White);
        using SKPaint ground = new() { Color = new SKColor(0x80, 0x80, 0x80) };
        Canvas.DrawRect(0, 0, Width, Height, ground);
        using SKBitmap? still = stillPng is null ? null : PngPicture.Decode(stillPng);
        if (still is null) return;
        using SKImage image = SKImage.FromBitmap(still);
        using SKPaint smooth = new() { FilterQuality = SKFilterQuality.High };
        if (grey)
        {
            // Luma (BT.709, item 3.2), lifted by a quarter.
            const float r = 0.75f * 0.2126f, g = 0.75f * 0.7152f, b = 0.75f * 0.0722f, lift = 0.25f;
            smooth.ColorFilter = SKColorFilter.CreateColorMatrix([r, g, b, 0, lift, r, g, b, 0, lift, r, g, b, 0, lift, 0, 0, 0, 1, 0]);
        }
        Canvas.DrawImage(image, new SKRect(0, 0, Width, Height), smooth);
    }

    public SKCanvas Canvas { get; }

    /// <summary>Size of the frame on the canvas.</summary>
    public int Width { get; }
    public int Height { get; }

    /// <summary>Canvas pixels to a displayed pixel.</summary>
    public float Scale { get; }

    /// <summary>A four-hundredth of the longer side.</summary>
    public float Unit { get; }

    /// <summary>Height of a line of small text.</summary>
    public float TextHeight => Unit * 15;

    /// <summary>A rectangle of displayed pixels on the canvas.</summary>
    public SKRect Box(double x, double y, double width, double height) =>
        new((float)x * Scale, (float)y * Scale, (float)(x + width) * Scale, (float)(y + height) * Scale);

    /// <summary>A white line on a black one.</summary>
    public void Outline(SKRect box)
    {
        using SKPaint black = new() { Style = SKPaintStyle.Stroke, Color = SKColors.Black, StrokeWidth = Unit * 3.2f, IsAntialias = true };
        using SKPaint white = new() { Style = SKPaintStyle.Stroke, Color = SKColors.White, StrokeWidth = Unit * 1.4f, IsAntialias = true };
        Canvas.DrawRect(box, black);
        Canvas.DrawRect(box, white);
    }

    /// <summary>An outline with its number, counted from 1, in the corner.</summary>
    public void Numbered(SKRect box, int number)
    {
        Outline(box);
        Plate(number.ToString(CultureInfo.InvariantCulture), box.Left, box.Top, Unit * 15);
    }

    /// <summary>White text on a black plate whose top left corner is given; the plate is kept on the picture.</summary>
    /// <returns>The plate.</returns>
    public SKRect Plate(string text, float left, float top, float textSize)
    {
        using SKPaint ink = Ink(textSize, SKColors.White);
        float width = PlateWidth(text, textSize), height = textSize * 1.33f;
        SKRect plate = SKRect.Create(
            Math.Clamp(left, 0, Math.Max(0, Width - width)), Math.Clamp(top, 0, Math.Max(0, Height - height)), width, height);
        using SKPaint black = new() { Color = SKColors.Black, IsAntialias = true };
        Canvas.DrawRect(plate, black);
        Canvas.DrawText(text, plate.MidX, plate.MidY + textSize * 0.36f, ink);
        return plate;
    }

    /// <summary>Width that a plate with this text takes.</summary>
    public float PlateWidth(string text, float textSize)
    {
        using SKPaint ink = Ink(textSize, SKColors.White);
        return Math.Max(textSize * 1.33f, ink.MeasureText(text) + textSize * 0.53f);
    }

    /// <summary>Plain text; <paramref name="y"/> is its baseline.</summary>
    public void Text(string text, float x, float y, float textSize, SKColor colour, SKTextAlign align = SKTextAlign.Left)
    {
        using SKPaint ink = Ink(textSize, colour);
        ink.TextAlign = align;
        Canvas.DrawText(text, x, y, ink);
    }

    /// <summary>The whole canvas as PNG.</summary>
    public byte[] ToPng()
    {
        using SKData data = _bitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    public void Dispose()
    {
        Canvas.Dispose();
        _bitmap.Dispose();
        _face.Dispose();
    }

    private SKPaint Ink(float size, SKColor colour) => new() { Color = colour, Typeface = _face, TextSize = size, IsAntialias = true, TextAlign = SKTextAlign.Center };
}
