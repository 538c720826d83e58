using SkiaSharp;

namespace FlickerProbe.Tests.Plots;

/// <summary>Helps to look at pictures: with FLICKERPROBE_KEEP_PICTURES set to a folder, tests leave them there.</summary>
internal static class Pictures
{
    public static string? Folder => Environment.GetEnvironmentVariable("FLICKERPROBE_KEEP_PICTURES");

    public static void Keep(string name, byte[] png, string? svg)
    {
        if (Folder is not { } folder) return;
        Directory.CreateDirectory(folder);
        File.WriteAllBytes(Path.Combine(folder, name + ".png"), png);
        if (svg is not null) File.WriteAllText(Path.Combine(folder, name + ".svg"), svg);
    }

    public static int DistinctColours(SKBitmap bitmap) => bitmap.Pixels.Distinct().Count();
}
