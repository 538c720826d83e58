using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Fixtures;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Demo;

/// <summary>The clips of the demo's evening: what the hall's camera records of the four lights in <c>fixtures/</c>.</summary>
internal static class DemoClips
{
    private const int Width = 640;
    private const int Height = 360;
    private const double SecondsPerLevel = 4;

    /// <summary>Share of the card's light at full that comes from the room.</summary>
    private const double RoomShare = 0.02;

    private static readonly double[] Levels = [1, 0.5, 0.25, 0.1];

    /// <summary>Names of the clips and how each is made.</summary>
    public static IReadOnlyList<(string Name, ClipRecipe Recipe)> All(string fixtures)
    {
        Fixture Read(string file) => FixtureFile.Read(Path.Combine(fixtures, file));
        return
        [
            ("a-steps.mp4", Steps(Read("wash-a.yaml"), 1.0 / 250, 11)),
            ("b-steps.mp4", Steps(Read("wash-b.yaml"), 1.0 / 250, 12)),
            ("c-steps.mp4", Steps(Read("wash-c.yaml"), 1.0 / 250, 13)),
            ("d-steps.mp4", Steps(Read("wash-d.yaml"), 1.0 / 120, 14)),
            ("off.mp4", Take(null, [1], 1.0 / 250, 15)),
            ("lamp.mp4", Take(Read("wash-b.yaml"), [1], 1.0 / 1000, 16)),
        ];
    }

    private static ClipRecipe Steps(Fixture fixture, double exposureSeconds, int seed) => Take(fixture, Levels, exposureSeconds, seed);

    private static ClipRecipe Take(Fixture? fixture, double[] levels, double exposureSeconds, int seed)
    {
        FrameRate rate = FrameRate.Parse("29.97");
        LightSource room = LightSource.Of("room", new SteadyLight());
        LightSource[] sources = fixture is null ? [room] : [fixture.ToSweep(levels, SecondsPerLevel), room];
        LightOnSurface[] lights = fixture is null
            ? [new LightOnSurface { Source = "room", Share = RoomShare }]
            : [new LightOnSurface { Source = fixture.Name, Share = 1 - RoomShare }, new LightOnSurface { Source = "room", Share = RoomShare }];
        return new ClipRecipe
        {
            Name = fixture?.Name ?? "light off",
            FrameRate = rate,
            ExposureSeconds = exposureSeconds,
            ReadoutSeconds = 0.016,
            Frames = (int)Math.Round(levels.Length * SecondsPerLevel * rate.FramesPerSecond),
            Width = Width,
            Height = Height,
            Seed = seed,
            Mains = new MainsSupply { NominalHz = 60, OffsetHz = 0.004 },
            Sources = sources,
            Surfaces = Scenes.CardBeforeWall(lights, 0.72, Width, Height),
            Encoding = new ClipEncoding { Codec = ClipCodec.H264, Quality = 14 },
        };
    }
}
