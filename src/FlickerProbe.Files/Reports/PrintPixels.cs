using System.Buffers.Binary;
using FlickerProbe.Files.Plots;
using SkiaSharp;

namespace FlickerProbe.Files.Reports;

/// <summary>Hands a picture to the PDF library as plain 24-bit pixels.</summary>
/// <remarks>The library reads PNG pixel by pixel and takes three times as long over it as over a bitmap; what it stores is the same.</remarks>
internal static class PrintPixels
{
    private const int HeadLength = 54;

    /// <summary>The PNG as a Windows bitmap, 24 bits a pixel; the PNG itself where it can't be read here.</summary>
    public static byte[] Of(byte[] png)
    {
        using SKBitmap? read = PngPicture.Decode(png);
        using SKBitmap? plain = read is null || read.ColorType == SKColorType.Bgra8888 ? read : read.Copy(SKColorType.Bgra8888);
        if (plain is null) return png;
        int width = plain.Width, height = plain.Height, stride = (width * 3 + 3) / 4 * 4;
        byte[] bitmap = new byte[HeadLength + stride * height];
        Head(bitmap, width, height, stride);
        ReadOnlySpan<byte> pixels = plain.GetPixelSpan();
        for (int row = 0; row < height; row++)
        {
            ReadOnlySpan<byte> from = pixels.Slice(row * plain.RowBytes, width * 4);
            Span<byte> to = bitmap.AsSpan(HeadLength + (height - 1 - row) * stride, stride); // the bottom row comes first
            for (int x = 0; x < width; x++) from.Slice(4 * x, 3).CopyTo(to[(3 * x)..]);
        }
        return bitmap;
    }

    private static void Head(Span<byte> head, int width, int height, int stride)
    {
        head[0] = (byte)'B';
        head[1] = (byte)'M';
        BinaryPrimitives.WriteInt32LittleEndian(head[2..], HeadLength + stride * height);
        BinaryPrimitives.WriteInt32LittleEndian(head[10..], HeadLength);
        BinaryPrimitives.WriteInt32LittleEndian(head[14..], 40); // length of the rest of the head
        BinaryPrimitives.WriteInt32LittleEndian(head[18..], width);
        BinaryPrimitives.WriteInt32LittleEndian(head[22..], height);
        BinaryPrimitives.WriteInt16LittleEndian(head[26..], 1);
        BinaryPrimitives.WriteInt16LittleEndian(head[28..], 24);
        BinaryPrimitives.WriteInt32LittleEndian(head[34..], stride * height);
        BinaryPrimitives.WriteInt32LittleEndian(head[38..], 2835); // pixels a metre, 72 an inch; the page sets the size
        BinaryPrimitives.WriteInt32LittleEndian(head[42..], 2835);
    }
}
