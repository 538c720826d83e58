using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;
using FlickerProbe.Picture;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Tests.Picture;

/// <summary>Areas found in rendered pictures against the areas they were rendered with. Overlap is intersection over union (Jaccard index).</summary>
public sealed class AreaFinderTests : IDisposable
{
    private const double LeastOverlap = 0.8;

    private readonly string _folder = Directory.CreateTempSubdirectory("flickerprobe-").FullName;

    public static TheoryData<string> SceneNames => [.. LitScenes.WithAreas.Select(s => s.Name)];

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [MemberData(nameof(SceneNames))]
    public void Every_lit_area_is_found_in_reading_order(string name)
    {
        LitScene scene = LitScenes.WithAreas.Single(s => s.Name == name);

        FoundAreas found = Find(scene).Areas;

        Assert.Equal(scene.Truth.Count, found.Areas.Count);
        for (int n = 0; n < scene.Truth.Count; n++)
        {
            double overlap = Overlap(found.Areas[n].Region, scene.Truth[n]);
            Assert.True(overlap >= LeastOverlap, $"{found.Areas[n].Region} overlaps {scene.Truth[n]} by {overlap:0.00}");
        }
    }

    [Theory]
    [InlineData("two-lamps", new[] { "left", "right" })]
    [InlineData("four-lamps", new[] { "top left", "top right", "bottom left", "bottom right" })]
    [InlineData("one-card", new[] { "" })]
    public void Names_stay_the_same_from_take_to_take(string name, string[] positions)
    {
        LitScene scene = LitScenes.WithAreas.Single(s => s.Name == name);
        for (int take = 0; take < 3; take++)
        {
            FoundAreas found = Find(LitScenes.ShotAgain(scene, take)).Areas;
            Assert.Equal(positions, found.Areas.Select(a => a.Position));
            Assert.All(found.Areas.Zip(scene.Truth), pair => Assert.True(Overlap(pair.First.Region, pair.Second) >= LeastOverlap));
        }
    }

    [Fact]
    public void What_is_left_out_has_its_reason()
    {
        Assert.InRange(Find(LitScenes.BlownOut).Areas.Share(CellUse.Clipped), 0.5 * 60 * 60 / (320 * 180), 1.5 * 60 * 60 / (320 * 180));
        Assert.True(Find(LitScenes.PersonCrossing).Areas.Share(CellUse.Moving) > 0.1);
        Assert.Equal(0, Find(LitScenes.TwoPools).Areas.Share(CellUse.Moving));
        Assert.InRange(Find(LitScenes.OneCard).Areas.Share(CellUse.Dark), 0.6, 0.72);
    }

    [Fact]
    public void An_empty_dark_clip_is_refused_with_the_way_out()
    {
        ClipInfo info = Clip(LitScenes.EmptyDark);

        ClipException refusal = Assert.Throws<ClipException>(() => RegionSearch.In(info, null, null, CancellationToken.None).Regions(info, every: true));

        Assert.Contains("too dark to measure", refusal.Message, StringComparison.Ordinal);
        Assert.Contains("50 to 80 %", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_still_with_deep_bands_is_one_area()
    {
        LitScene scene = LitScenes.OneCard;
        ClipRecipe banded = scene.Recipe with
        {
            ExposureSeconds = 1 / 4000.0,
            Sources = [LightSource.Of("a", FlickerProbe.Rendering.Light.Waveform.Sine(500, 1)), scene.Recipe.Sources[2]],
        };
        string path = Path.Combine(_folder, "banded.png");
        ClipRenderer.Render(banded, path);

        FoundAreas found = RegionSearch.In(ClipProbe.Probe(path), null, null, CancellationToken.None).Areas;

        // The outermost bands may end the area a little early: two thirds are asked of a still.
        Assert.True(Overlap(Assert.Single(found.Areas).Region, scene.Truth[0]) > 0.66);
    }

    // 7 bands of a sine of 21 % on an even wall: troughs too shallow to part lights, steep enough to look like the edge of a surface.
    [Fact]
    public void A_still_of_an_even_wall_is_taken_whole_in_spite_of_its_bands()
    {
        ClipRecipe wall = ClipRecipe.Wall(
            FlickerProbe.Rendering.Light.Waveform.Sine(437, 0.3), FlickerProbe.Rendering.Camera.FrameRate.Parse("25"), 1 / 1000.0, 0.016, seconds: 1);
        string path = Path.Combine(_folder, "wall.png");
        ClipRenderer.Render(wall, path);

        FoundArea found = Assert.Single(RegionSearch.In(ClipProbe.Probe(path), null, null, CancellationToken.None).Areas.Areas);

        Assert.True(Overlap(found.Region, new(0, 0, wall.Width, wall.Height)) > 0.9, $"{found.Region}");
    }

    [Fact]
    public void A_long_clip_is_looked_at_here_and_there()
    {
        LitScene scene = LitScenes.TwoLamps;
        var longer = scene with { Recipe = scene.Recipe with { Frames = 300 } };

        RegionSearch search = Find(longer);

        Assert.InRange(search.Cells.Frames, 10, 60);
        Assert.Equal(2, search.Areas.Areas.Count);
    }

    private RegionSearch Find(LitScene scene) => RegionSearch.In(Clip(scene), null, null, CancellationToken.None);

    private ClipInfo Clip(LitScene scene)
    {
        string path = Path.Combine(_folder, scene.Name + ".mp4");
        ClipRenderer.Render(scene.Recipe, path);
        return ClipProbe.Probe(path);
    }

    private static double Overlap(Region a, PixelArea b)
    {
        double width = Math.Min(a.X + a.Width, b.X + b.Width) - Math.Max(a.X, b.X), height = Math.Min(a.Y + a.Height, b.Y + b.Height) - Math.Max(a.Y, b.Y);
        double both = Math.Max(0, width) * Math.Max(0, height);
        return both / ((double)a.Width * a.Height + (double)b.Width * b.Height - both);
    }
}
