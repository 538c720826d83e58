namespace FlickerProbe.Rendering.Scene;

/// <summary>Ready-made arrangements of surfaces.</summary>
public static class Scenes
{
    /// <summary>One evenly lit surface, "wall", filling the frame.</summary>
    public static Surface Wall(IReadOnlyList<LightOnSurface> lights, double signalLevel) =>
        new() { Name = "wall", SignalLevel = signalLevel, Lights = lights };

    /// <summary>A pale card, "card", in the middle half of the picture before a darker, unevenly lit wall, "wall".</summary>
    public static IReadOnlyList<Surface> CardBeforeWall(IReadOnlyList<LightOnSurface> lights, double signalLevel, int width, int height) =>
    [
        new Surface
        {
            Name = "wall",
            SignalLevel = 0.45 * signalLevel,
            Lights = lights,
            Shading = new Shading { TopToBottom = 0.5, LeftToRight = 0.2, Texture = 0.05 },
        },
        new Surface
        {
            Name = "card",
            Area = new PixelArea(width / 4, height / 10, width / 2, height * 8 / 10),
            SignalLevel = signalLevel,
            Lights = lights,
            Shading = new Shading { TopToBottom = 0.1, LeftToRight = 0.06 },
        },
    ];
}
