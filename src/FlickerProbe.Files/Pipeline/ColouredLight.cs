using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using SkiaSharp;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Whether the light in a region is coloured: then luma may hide a flickering emitter, and each primary must be measured by itself.</summary>
/// <remarks>One picture from the middle of the clip is looked at. Daylight and tungsten whites as cameras balance them stay well under the
/// line; saturated and mixed colours lie over it. The line is the project's own choice; no published source.</remarks>
internal static class ColouredLight
{
    /// <summary>Spread (largest − smallest) / largest of the mean linear primaries from which light counts as coloured.</summary>
    public const double ColouredFrom = 0.35;

    /// <summary>Looks at the regions; false where no picture can be had.</summary>
    /// <param name="info">The clip.</param>
    /// <param name="regions">Regions in displayed pixels.</param>
    /// <param name="cancellation">Ends the child.</param>
    public static bool IsIn(ClipInfo info, IReadOnlyList<Region> regions, CancellationToken cancellation)
    {
        if (info.Pixels.Model == ColourModel.Grey || StillPicture.Fetch(info, null, cancellation) is not { } png) return false;
        using SKBitmap? picture = Plots.PngPicture.Decode(png);
        if (picture is null) return false;
        double scale = (double)picture.Width / info.DisplayedSize.Width;
        return regions.Any(region => Spread(picture, region, scale) >= ColouredFrom);
    }

    private static double Spread(SKBitmap picture, Region region, double scale)
    {
        int left = Math.Clamp((int)(region.X * scale), 0, picture.Width - 1), right = Math.Clamp((int)Math.Ceiling((region.X + region.Width) * scale), left + 1, picture.Width);
        int top = Math.Clamp((int)(region.Y * scale), 0, picture.Height - 1), bottom = Math.Clamp((int)Math.Ceiling((region.Y + region.Height) * scale), top + 1, picture.Height);
        double red = 0, green = 0, blue = 0;
        for (int y = top; y < bottom; y++)
        {
            for (int x = left; x < right; x++)
            {
                SKColor pixel = picture.GetPixel(x, y);
                red += Linear(pixel.Red);
                green += Linear(pixel.Green);
                blue += Linear(pixel.Blue);
            }
        }
        double most = Math.Max(red, Math.Max(green, blue)), least = Math.Min(red, Math.Min(green, blue));
        return most > 0 ? (most - least) / most : 0;
    }

    // Near enough for telling white from coloured: a square law for any of the usual curves.
    private static double Linear(byte code) => code / 255.0 * (code / 255.0);
}
