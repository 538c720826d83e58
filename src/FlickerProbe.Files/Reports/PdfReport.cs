using FlickerProbe.Files.Plots;
using PdfSharp.Drawing;
using PdfSharp.Fonts;
using PdfSharp.Pdf;
using SkiaSharp;

namespace FlickerProbe.Files.Reports;

/// <summary>Writes the report as a PDF to print, from the same blocks as the page, without a browser.</summary>
/// <remarks>What is folded away in the page is printed as tables; its pictures are left to the page, and a line says so.</remarks>
public static class PdfReport
{
    private static readonly object FontLock = new();

    /// <summary>The PDF as bytes.</summary>
    /// <param name="title">Stands at the foot of each page and in the file's properties.</param>
    /// <param name="blocks">What to say.</param>
    /// <param name="paper">The paper.</param>
    /// <param name="created">Time stamp of the file; null leaves the library's own.</param>
    /// <param name="cancellation">Stops between blocks.</param>
    /// <exception cref="Units.InputException">The font is missing.</exception>
    public static byte[] Write(string title, IReadOnlyList<Block> blocks, Paper paper, DateTimeOffset? created, CancellationToken cancellation)
    {
        PlotExport.RequireFont();
        lock (FontLock) GlobalFontSettings.FontResolver ??= new SystemFont();

        using PdfDocument document = new();
        document.Info.Title = title;
        document.Info.Creator = "flickerprobe";
        if (created is { } time) document.Info.CreationDate = time.UtcDateTime;
        PdfFlow flow = new(document, paper);
        PdfBlocks writer = new(flow);
        foreach (Block block in blocks)
        {
            cancellation.ThrowIfCancellationRequested();
            writer.Write(block);
        }
        flow.Finish(title);
        using MemoryStream stream = new();
        document.Save(stream);
        return stream.ToArray();
    }

    /// <summary>Hands the PDF library the installed font's own bytes, found the way the pictures find it, on every system.</summary>
    private sealed class SystemFont : IFontResolver
    {
        public FontResolverInfo ResolveTypeface(string familyName, bool isBold, bool isItalic) => new(isBold ? "bold" : "regular");

        public byte[] GetFont(string faceName)
        {
            using SKTypeface face = SKTypeface.FromFamilyName(HouseStyle.Font, faceName == "bold" ? SKFontStyle.Bold : SKFontStyle.Normal);
            using SKStreamAsset stream = face.OpenStream();
            byte[] bytes = new byte[stream.Length];
            stream.Read(bytes, bytes.Length);
            return bytes;
        }
    }
}
