using SkiaSharp;

namespace FlickerProbe.Files.Plots;

/// <summary>Reads the bytes of a picture that another program made.</summary>
internal static class PngPicture
{
    /// <summary>The picture; null when the bytes are none. (The library's own short form throws there.)</summary>
    public static SKBitmap? Decode(byte[] png)
    {
        using var stream = new SKMemoryStream(png);
        using SKCodec? codec = SKCodec.Create(stream);
        return codec is null ? null : SKBitmap.Decode(codec);
    }
}
