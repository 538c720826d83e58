using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;
using RenderedRate = FlickerProbe.Rendering.Camera.FrameRate;

namespace FlickerProbe.Tests.Picture;

/// <summary>A rendered picture with the areas that should be found in it, as displayed, in reading order.</summary>
public sealed record LitScene(string Name, ClipRecipe Recipe, IReadOnlyList<PixelArea> Truth)
{
    public override string ToString() => Name;
}

/// <summary>Rendered pictures with known lit areas: 320 × 180 pixels of the sensor, lamps that flicker, in a dark room.</summary>
public static class LitScenes
{
    private const int Width = 320, Height = 180;

    public static LitScene OneCard => Scene("one-card", [Card("card", 90, 30, 150, 120, 0.6, "a")], [new(90, 30, 150, 120)]);

    public static LitScene TwoLamps => Scene(
        "two-lamps", [Card("left", 30, 40, 90, 100, 0.65, "a"), Card("right", 200, 50, 90, 90, 0.5, "b")], [new(30, 40, 90, 100), new(200, 50, 90, 90)]);

    /// <summary>Two round pools on one wall that run into each other; half of the light of each is left on a circle of 1.177 R (ln 2 = r²/2R²), and of the
    /// rectangles in a circle w·h^1.5 is largest for h = 2r√0.6, w = 2r√0.4.</summary>
    public static LitScene TwoPools
    {
        get
        {
            const double halo = 36;
            double radius = halo * Math.Sqrt(2 * Math.Log(2));
            int w = (int)(2 * radius * Math.Sqrt(0.4)), h = (int)(2 * radius * Math.Sqrt(0.6));
            return Scene(
                "two-pools",
                [Pool("left", 0, 0, 180, 180, 0.75, "a", halo), Pool("right", 140, 0, 180, 180, 0.7, "b", halo)],
                [new(90 - w / 2, 90 - h / 2, w, h), new(230 - w / 2, 90 - h / 2, w, h)]);
        }
    }

    public static LitScene FourLamps => Scene(
        "four-lamps",
        [
            Card("d", 190, 105, 80, 55, 0.55, "b"), Card("b", 185, 20, 80, 60, 0.6, "b"), Card("a", 40, 24, 80, 55, 0.7, "a"), Card("c", 45, 100, 80, 60, 0.5, "a"),
        ],
        [new(40, 24, 80, 55), new(185, 20, 80, 60), new(45, 100, 80, 60), new(190, 105, 80, 55)]);

    /// <summary>One wall, evenly lit, the left part by one lamp and the right part by another: no edge but in how it flickers.</summary>
    public static LitScene TwoLampsOnOneWall => Scene(
        "two-lamps-on-one-wall",
        [Even("left", 40, 30, 120, 120, "a"), Even("right", 160, 30, 120, 120, "b")],
        [new(40, 30, 120, 120), new(160, 30, 120, 120)]);

    /// <summary>A wall brightest at the top; the light falls in a straight line from 1.8 to 0.2 of that in the middle, so half of the most is left at 0.5625 of the height.</summary>
    public static LitScene WallWash => Scene(
        "wall-wash",
        [
            new Surface
            {
                Name = "wall", SignalLevel = 0.45, Lights = [Of("a")], Shading = new Shading { TopToBottom = 1.6, Texture = 0.03 },
            },
        ],
        [new(0, 0, Width, 101)]);

    /// <summary>A head and shoulders cross the lower half of the card.</summary>
    public static LitScene PersonCrossing => OneCard with
    {
        Name = "person-crossing",
        Recipe = OneCard.Recipe with { Passers = [new Passer { StartX = 60, PixelsPerSecond = 110, Width = 34, Top = 105, SignalLevel = 0.2, Lights = [Of("a")] }] },
        Truth = [new(90, 30, 150, 75)],
    };

    /// <summary>The face of the lamp is blown out; the panel beside and below it is usable.</summary>
    public static LitScene BlownOut => Scene(
        "blown-out",
        [Card("panel", 40, 25, 240, 130, 0.6, "a"), Card("face", 50, 30, 60, 60, 1.8, "a")],
        [new(110, 25, 170, 130)]);

    /// <summary>The phone is held upright: what is wide on the sensor is high as displayed.</summary>
    public static LitScene Upright => OneCard with
    {
        Name = "upright",
        Recipe = OneCard.Recipe with { Faults = new ClipFaults { RotationDegrees = 90 } },
        // A quarter turn clockwise: x = height − 1 − y, y = x.
        Truth = [new(Height - 30 - 120, 90, 120, 150)],
    };

    public static LitScene EmptyDark => Scene("empty-dark", [], []);

    public static IEnumerable<LitScene> WithAreas => [OneCard, TwoLamps, TwoPools, FourLamps, WallWash, PersonCrossing, BlownOut, Upright];

    /// <summary>The same framing shot again: other noise, other moment, a little brighter or darker.</summary>
    public static LitScene ShotAgain(LitScene scene, int take) => scene with
    {
        Recipe = scene.Recipe with { Seed = 100 + take, StartSeconds = 0.37 * take, Faults = scene.Recipe.Faults with { DriftPerSecond = 0.01 * (take - 1) } },
    };

    private static LitScene Scene(string name, IReadOnlyList<Surface> surfaces, IReadOnlyList<PixelArea> truth) => new(
        name,
        new ClipRecipe
        {
            FrameRate = RenderedRate.Parse("30000/1001"),
            ExposureSeconds = 1 / 500.0,
            ReadoutSeconds = 0.016,
            Frames = 75,
            Width = Width,
            Height = Height,
            Sources = [LightSource.Of("a", Waveform.Sine(120.4, 0.35)), LightSource.Of("b", Waveform.Sine(371, 0.25)), LightSource.Of("room", Waveform.Sine(100, 0))],
            Surfaces = [new Surface { Name = "room", SignalLevel = 0.07, Lights = [Of("room")], Shading = new Shading { Texture = 0.2 } }, .. surfaces],
            Encoding = new ClipEncoding { Codec = ClipCodec.H264, Quality = 20 },
        },
        truth);

    private static Surface Card(string name, int x, int y, int width, int height, double level, string light) => new()
    {
        Name = name, Area = new PixelArea(x, y, width, height), SignalLevel = level, Lights = [Of(light)], Shading = new Shading { TopToBottom = 0.12, LeftToRight = -0.08, Texture = 0.02 },
    };

    private static Surface Even(string name, int x, int y, int width, int height, string light) => new()
    {
        Name = name, Area = new PixelArea(x, y, width, height), SignalLevel = 0.6, Lights = [Of(light)], Shading = new Shading { Texture = 0.02 },
    };

    private static Surface Pool(string name, int x, int y, int width, int height, double level, string light, double halo) => new()
    {
        Name = name, Area = new PixelArea(x, y, width, height), SignalLevel = level, Lights = [Of(light)], Shading = new Shading { HaloPixels = halo }, Additive = true,
    };

    private static LightOnSurface Of(string light) => new() { Source = light };
}
