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
            // Two takes of each: what one shutter averages away the other shows, and what stands still at one frame rate moves at the other.
            ("a-steps.mp4", Take(Read("wash-a.yaml"), Levels, "29.97", 1.0 / 1000, 11)),
            ("a-steps-25.mp4", Take(Read("wash-a.yaml"), Levels, "25", 1.0 / 640, 21)),
            ("b-steps.mp4", Take(Read("wash-b.yaml"), Levels, "29.97", 1.0 / 1000, 12)),
            ("b-steps-25.mp4", Take(Read("wash-b.yaml"), Levels, "25", 1.0 / 640, 22)),
            ("c-steps.mp4", Take(Read("wash-c.yaml"), Levels, "29.97", 1.0 / 1000, 13)),
            ("c-steps-25.mp4", Take(Read("wash-c.yaml"), Levels, "25", 1.0 / 640, 23)),
            // But of the last somebody shot only one, at a shutter that hides the ripple of the mains.
            ("d-steps.mp4", Take(Read("wash-d.yaml"), Levels, "29.97", 1.0 / 120, 14)),
            ("off.mp4", Take(null, [1], "29.97", 1.0 / 1000, 15)),
            ("off-25.mp4", Take(null, [1], "25", 1.0 / 640, 25)),
            ("lamp.mp4", Take(Read("wash-b.yaml"), [1], "29.97", 1.0 / 1000, 16)),
        ];
    }

    private static ClipRecipe Take(Fixture? fixture, double[] levels, string frameRate, double exposureSeconds, int seed)
    {
        FrameRate rate = FrameRate.Parse(frameRate);
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
            Encoding = new ClipEncoding { Codec = ClipCodec.H264, Quality = 6 },
        };
    }
}
