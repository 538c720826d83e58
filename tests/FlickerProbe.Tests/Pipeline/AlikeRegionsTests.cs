using FlickerProbe.Camera;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Pipeline;
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
    public void A_wall_with_falloff_under_one_lamp_stays_one() => Assert.Single(Measure(LitScenes.WallWash, everyArea: true));
}
