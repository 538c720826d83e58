using System.Globalization;
using System.Runtime.InteropServices;
using System.Security.Cryptography;
using FlickerProbe.Files.Plots;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Reports;

/// <summary>Lets the pictures of a report come from a store where it has them.</summary>
internal static class KeptFigures
{
    /// <summary>The same blocks with every picture asked of the store first.</summary>
    public static IReadOnlyList<Block> From(IPictureStore store, IReadOnlyList<Block> blocks) => [.. blocks.Select(block => block switch
    {
        PicturesBlock pictures => pictures with { Figures = [.. pictures.Figures.Select(figure => From(store, figure))] },
        FoldBlock fold => fold with { Blocks = From(store, fold.Blocks) },
        _ => block,
    })];

    private static Figure From(IPictureStore store, Figure figure)
    {
        if (figure is { Plot: { } plot, Svg: { } svg })
        {
            // The vector form takes a fiftieth of the time of the pixels and holds all that they show.
            string Key(Plot at) => string.Create(CultureInfo.InvariantCulture, $"plot {at.Width} {at.Height} {svg.Value}");
            return figure with
            {
                Png = new Lazy<byte[]>(() => store.Picture(Key(plot), () => figure.Png.Value)),
                Print = new Lazy<byte[]>(() => store.Picture(Key(plot.ForPrint()), () => figure.Print.Value)),
            };
        }
        if (figure.ContentKey is not { } key) return figure;
        var kept = new Lazy<byte[]>(() => store.Picture(figure.Slug + " " + key, () => figure.Png.Value));
        return figure with { Png = kept, Print = kept };
    }

    /// <summary>What a band picture depends on.</summary>
    public static string KeyOf(TakeExhibit exhibit)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        float[,] picture = exhibit.BandPicture;
        if (picture.Length > 0) hash.AppendData(MemoryMarshal.AsBytes(MemoryMarshal.CreateSpan(ref picture[0, 0], picture.Length)));
        return string.Create(CultureInfo.InvariantCulture, $"{Convert.ToHexStringLower(hash.GetHashAndReset())} {picture.GetLength(0)} {picture.GetLength(1)} {exhibit.BandPictureSeconds:R}");
    }

    /// <summary>What a frame with outlined regions depends on.</summary>
    public static string KeyOf(Results.TakePictures pictures, IEnumerable<(int Number, Results.RegionResult Region)> regions) =>
        string.Create(CultureInfo.InvariantCulture, $"{(pictures.StillPng is null ? "-" : Convert.ToHexStringLower(SHA256.HashData(pictures.StillPng)))} {pictures.StillWidth} {pictures.StillHeight} ") +
        string.Join(' ', regions.Select(r => string.Create(CultureInfo.InvariantCulture, $"{r.Number}:{r.Region.X},{r.Region.Y},{r.Region.Width},{r.Region.Height}")));
}
