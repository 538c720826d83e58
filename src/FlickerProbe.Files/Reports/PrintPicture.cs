using System.Buffers.Binary;
using PdfSharp.Pdf;
using SkiaSharp;

namespace FlickerProbe.Files.Reports;

/// <summary>A picture in the form in which a PDF takes it as it is.</summary>
/// <param name="Width">Pixels.</param>
/// <param name="Height">Pixels.</param>
/// <param name="Deflated">Rows of 24-bit pixels, filtered and deflated as in a PNG.</param>
/// <remarks>PDF's Flate filter with PNG prediction reads the very data that a PNG file holds (ISO 32000-1, 7.4.4.4), so nothing has to be unpacked
/// and packed again: that took most of the time that a report takes.</remarks>
internal sealed record PrintPicture(int Width, int Height, byte[] Deflated)
{
    private static readonly byte[] Signature = [0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A];

    /// <summary>The picture of a PNG file; other kinds than plain RGB are made so, on white.</summary>
    /// <exception cref="InvalidOperationException">It is no picture.</exception>
    public static PrintPicture Of(byte[] png) =>
        Plain(png) ?? Plain(Flattened(png)) ?? throw new InvalidOperationException("A picture of the report can't be read.");

    /// <summary>The picture as an object of a document.</summary>
    public PdfDictionary In(PdfDocument document)
    {
        PdfDictionary parameters = new(document);
        parameters.Elements.SetInteger("/Predictor", 15);
        parameters.Elements.SetInteger("/Colors", 3);
        parameters.Elements.SetInteger("/Columns", Width);
        PdfDictionary image = new(document);
        image.Elements.SetName("/Type", "/XObject");
        image.Elements.SetName("/Subtype", "/Image");
        image.Elements.SetInteger("/Width", Width);
        image.Elements.SetInteger("/Height", Height);
        image.Elements.SetName("/ColorSpace", "/DeviceRGB");
        image.Elements.SetInteger("/BitsPerComponent", 8);
        image.Elements.SetName("/Filter", "/FlateDecode");
        image.Elements["/DecodeParms"] = parameters;
        image.CreateStream(Deflated);
        document.Internals.AddObject(image);
        return image;
    }

    /// <summary>The data of a PNG of 8-bit RGB without interlace; null of any other.</summary>
    private static PrintPicture? Plain(ReadOnlySpan<byte> png)
    {
        if (!png.StartsWith(Signature)) return null;
        int width = 0, height = 0;
        MemoryStream data = new();
        for (int at = Signature.Length; at + 12 <= png.Length;)
        {
            int length = BinaryPrimitives.ReadInt32BigEndian(png[at..]);
            if (length < 0 || length > png.Length - at - 12) return null;
            ReadOnlySpan<byte> kind = png.Slice(at + 4, 4), body = png.Slice(at + 8, length);
            if (kind.SequenceEqual("IHDR"u8))
            {
                if (length < 13 || body[8] != 8 || body[9] != 2 || body[12] != 0) return null;
                (width, height) = (BinaryPrimitives.ReadInt32BigEndian(body), BinaryPrimitives.ReadInt32BigEndian(body[4..]));
            }
            else if (kind.SequenceEqual("tRNS"u8))
            {
                return null;
            }
            else if (kind.SequenceEqual("IDAT"u8))
            {
                data.Write(body);
            }
            at += 12 + length;
        }
        return width > 0 && height > 0 && data.Length > 0 ? new PrintPicture(width, height, data.ToArray()) : null;
    }

    private static byte[] Flattened(byte[] png)
    {
        using SKBitmap read = Plots.PngPicture.Decode(png) ?? throw new InvalidOperationException("A picture of the report can't be read.");
        using SKBitmap opaque = new(new SKImageInfo(read.Width, read.Height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using SKCanvas canvas = new(opaque);
        canvas.Clear(SKColors.White);
        canvas.DrawBitmap(read, 0, 0);
        using SKData data = opaque.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }
}
