using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Plots;

/// <summary>A frame of the clip with its measured regions outlined and numbered.</summary>
public static class StillPicture
{
    /// <summary>Draws the regions over the frame.</summary>
    /// <param name="stillPng">The frame as displayed, PNG or JPEG; null draws the outlines on grey.</param>
    /// <param name="displayWidth">Width in pixels that the regions refer to.</param>
    /// <param name="displayHeight">Height in pixels that the regions refer to.</param>
    /// <param name="regions">The regions with the number each carries.</param>
    /// <returns>A PNG with the clip's own shape, its longer side at most 960 pixels.</returns>
    public static byte[] Draw(byte[]? stillPng, int displayWidth, int displayHeight, IReadOnlyList<(int Number, RegionResult Region)> regions)
    {
        using StillCanvas canvas = new(stillPng, displayWidth, displayHeight);
        foreach ((int number, RegionResult region) in regions)
            canvas.Numbered(canvas.Box(region.X, region.Y, region.Width, region.Height), number);
        return canvas.ToPng();
    }
}
