using FlickerProbe.Camera;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;
using FlickerProbe.Picture;
using FlickerProbe.Rendering;
using FlickerProbe.Tests.Picture;

namespace FlickerProbe.Tests.Pipeline;

/// <summary>One wall on which the light of two lamps meets without an edge: the eye sees one area, the camera two that flicker differently.</summary>
public sealed class AlikeRegionsTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("alike-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    private IReadOnlyList<MeasuredTake> Measure(LitScene scene, bool everyArea)
    {
        string clip = Path.Combine(_folder, scene.Name + ".mp4");
        ClipRenderer.Render(scene.Recipe, clip);
        var request = new TakeRequest
        {
            Clip = clip, EveryArea = everyArea, Readout = ReadoutTime.FromSeconds(scene.Recipe.ReadoutSeconds),
            Shutter = GivenShutter.Parse("1/500"),
        };
        return new TakeMeasurer(new CameraStore(_folder)).Measure(request, null, CancellationToken.None);
    }

    [Fact]
    public void Two_lamps_on_one_wall_become_two_regions_each_with_its_own_rate()
    {
        IReadOnlyList<MeasuredTake> takes = Measure(LitScenes.TwoLampsOnOneWall, everyArea: true);
        Assert.Equal(["left", "right"], takes.Select(t => t.Region.Name));
        Assert.Equal([120.4, 371], takes.Select(t => Math.Round(t.Measurement.Tones[0].FrequencyHz!.Value.Value, 1)));
        // Each alone: the other's rate is not in it.
        Assert.All(takes, t => Assert.DoesNotContain(t.Measurement.Tones.Skip(1), tone => tone.Amplitude.Value > 0.02));
        Assert.All(takes.Zip(LitScenes.TwoLampsOnOneWall.Truth), pair =>
        {
            Assert.InRange(pair.First.Region.X, pair.Second.X, pair.Second.X + 12);
            Assert.InRange(pair.First.Region.X + pair.First.Region.Width, pair.Second.X + pair.Second.Width - 12, pair.Second.X + pair.Second.Width);
        });
    }

    [Fact]
    public void Where_one_region_is_wanted_it_is_the_part_that_flickers_most()
    {
        MeasuredTake take = Assert.Single(Measure(LitScenes.TwoLampsOnOneWall, everyArea: false));
        Assert.Equal(120.4, take.Measurement.Tones[0].FrequencyHz!.Value.Value, 0.05);
    }

    [Fact]
    public void What_is_shown_beforehand_is_what_is_measured()
    {
        LitScene scene = LitScenes.TwoLampsOnOneWall;
        string clip = Path.Combine(_folder, scene.Name + ".mp4");
        ClipRenderer.Render(scene.Recipe, clip);
        ClipInfo info = ClipProbe.Probe(clip);
        RegionSearch search = RegionSearch.In(info, null, null, CancellationToken.None);
        IReadOnlyList<Region> regions = new TakeMeasurer(new CameraStore(_folder)).Divided(new TakeRequest { Clip = clip, Regions = search.Regions(info, every: true) }, null, CancellationToken.None);
        FoundArea[] areas = [.. search.Divided(info, regions).Areas.Areas];
        Assert.Single(search.Areas.Areas);
        Assert.Equal(["left", "right"], areas.Select(a => a.Position));
        Assert.Equal(regions, areas.Select(a => a.Region));
        // Each keeps to its half of the cells, at the level that is there.
        Assert.True(areas[0].Cells.Left + areas[0].Cells.Width <= areas[1].Cells.Left + 1);
        Assert.All(areas, a => Assert.Equal(search.Areas.Areas[0].MeanLevel, a.MeanLevel, 0.1));
    }

    [Fact]
    public void A_wall_with_falloff_under_one_lamp_stays_one() => Assert.Single(Measure(LitScenes.WallWash, everyArea: true));
}
