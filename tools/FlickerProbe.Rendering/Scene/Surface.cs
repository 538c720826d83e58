namespace FlickerProbe.Rendering.Scene;

/// <summary>A rectangle of coded pixels.</summary>
/// <param name="X">Left edge.</param>
/// <param name="Y">Top edge.</param>
/// <param name="Width">Width.</param>
/// <param name="Height">Height.</param>
public sealed record PixelArea(int X, int Y, int Width, int Height);

/// <summary>How brightness varies over a surface; every factor is 1 at the middle of it.</summary>
public sealed record Shading
{
    /// <summary>Change of linear light from top to bottom as a share of that in the middle; 0.4: 1.2 at the top, 0.8 at the bottom.</summary>
    public double TopToBottom { get; init; }

    /// <summary>Change from left to right; 0.4: 1.2 on the left, 0.8 on the right.</summary>
    public double LeftToRight { get; init; }

    /// <summary>Standard deviation of a fixed, grainy texture, as a share of the light.</summary>
    public double Texture { get; init; }

    /// <summary>Size of the grain of the texture, pixels.</summary>
    public int GrainPixels { get; init; } = 4;

    /// <summary>Radius at which a round falloff exp(−r²/2R²) about the middle has its R, pixels; null: none. Makes a halo.</summary>
    public double? HaloPixels { get; init; }

    /// <summary>Fixed horizontal bars on the surface itself (a blind, a bookshelf): amplitude as a share of the light.</summary>
    public double BarDepth { get; init; }

    /// <summary>Period of the bars, rows.</summary>
    public double BarRows { get; init; } = 40;
}

/// <summary>A light's part in lighting a surface.</summary>
public sealed record LightOnSurface
{
    /// <summary>Name of the <see cref="LightSource"/>.</summary>
    public required string Source { get; init; }

    /// <summary>Its share of the surface's light; the shares of a surface usually sum to 1.</summary>
    public double Share { get; init; } = 1;

    /// <summary>How this light falls off over the surface, beside the surface's own shading.</summary>
    public Shading Falloff { get; init; } = new();
}

/// <summary>A rectangle in the picture with a brightness, a colour, and the lights on it.</summary>
public sealed record Surface
{
    /// <summary>Name; the truth lists each surface by it.</summary>
    public required string Name { get; init; }

    /// <summary>Where; null: the whole frame.</summary>
    public PixelArea? Area { get; init; }

    /// <summary>Signal (0 black … 1 nominal white) that its middle has under the mean light of shares summing to 1. Above 1: blown out.</summary>
    public required double SignalLevel { get; init; }

    /// <summary>Reflectance of the primaries, relative.</summary>
    public Rgb Colour { get; init; } = Rgb.White;

    /// <summary>The lights that fall on it.</summary>
    public required IReadOnlyList<LightOnSurface> Lights { get; init; }

    /// <summary>Its shading.</summary>
    public Shading Shading { get; init; } = new();

    /// <summary>Added to what lies behind instead of covering it: stray light, lens flare.</summary>
    public bool Additive { get; init; }
}

/// <summary>Someone walking through the picture: an upright rectangle that covers what is behind.</summary>
public sealed record Passer
{
    /// <summary>Middle at <see cref="ClipRecipe.StartSeconds"/>, pixels from the left.</summary>
    public required double StartX { get; init; }

    /// <summary>Speed, pixels per second; negative: to the left.</summary>
    public required double PixelsPerSecond { get; init; }

    /// <summary>Width, pixels.</summary>
    public required int Width { get; init; }

    /// <summary>Top row; the figure reaches down to the bottom of the frame.</summary>
    public int Top { get; init; }

    /// <summary>Signal under the mean light.</summary>
    public double SignalLevel { get; init; } = 0.25;

    /// <summary>The lights on it.</summary>
    public required IReadOnlyList<LightOnSurface> Lights { get; init; }
}
