using FlickerProbe.Rendering.Camera;

namespace FlickerProbe.Rendering.Scene;

/// <summary>One light's share of every pixel: linear light per unit of the source, zero where something covers it.</summary>
internal sealed class LayerMap
{
    public required int Source { get; init; }
    public required Rgb Colour { get; init; }
    public required PixelArea Area { get; init; }

    /// <summary>Row by row over <see cref="Area"/>.</summary>
    public required float[] Light { get; init; }

    /// <summary>The layers of a recipe's surfaces, those behind cut out by those in front.</summary>
    public static List<LayerMap> Of(ClipRecipe recipe, SceneLights lights)
    {
        List<LayerMap> layers = [];
        int index = 0;
        foreach (Surface surface in recipe.Surfaces)
        {
            PixelArea area = surface.Area ?? new PixelArea(0, 0, recipe.Width, recipe.Height);
            if (area.X < 0 || area.Y < 0 || area.Width < 1 || area.Height < 1 || area.X + area.Width > recipe.Width || area.Y + area.Height > recipe.Height)
                throw new ArgumentException($"The surface '{surface.Name}' reaches out of the picture of {recipe.Width}×{recipe.Height}.");
            if (!surface.Additive)
            {
                foreach (LayerMap behind in layers) behind.Cut(area);
            }

            float[] own = Map(surface.Shading, area, Randomness.For(recipe.Seed, 1000 + index));
            double middle = recipe.Curve.Decode(surface.SignalLevel);
            // Above the curve's own domain (signal > 1) carry on in proportion: blown out is blown out.
            foreach (LightOnSurface light in surface.Lights)
            {
                float[] map = Map(light.Falloff, area, Randomness.For(recipe.Seed, 2000 + index++));
                float scale = (float)(middle * light.Share);
                for (int i = 0; i < map.Length; i++) map[i] = Math.Max(0, map[i]) * Math.Max(0, own[i]) * scale;
                layers.Add(new LayerMap { Source = lights.IndexOf(light.Source), Colour = surface.Colour, Area = area, Light = map });
            }

            index++;
        }

        return layers;
    }

    private void Cut(PixelArea hole)
    {
        int x0 = Math.Max(hole.X, Area.X), x1 = Math.Min(hole.X + hole.Width, Area.X + Area.Width);
        int y0 = Math.Max(hole.Y, Area.Y), y1 = Math.Min(hole.Y + hole.Height, Area.Y + Area.Height);
        if (x1 <= x0) return;
        for (int y = y0; y < y1; y++) Light.AsSpan((y - Area.Y) * Area.Width + x0 - Area.X, x1 - x0).Clear();
    }

    private static float[] Map(Shading s, PixelArea area, Randomness random)
    {
        int w = area.Width, h = area.Height, grain = Math.Max(1, s.GrainPixels);
        int grainsAcross = w / grain + 1;
        double[] grains = new double[grainsAcross * (h / grain + 1)];
        if (s.Texture > 0)
        {
            for (int i = 0; i < grains.Length; i++) grains[i] = s.Texture * random.NextGaussian();
        }

        float[] map = new float[w * h];
        for (int y = 0; y < h; y++)
        {
            double v = (y + 0.5) / h - 0.5;
            double row = (1 - s.TopToBottom * v) * (1 + s.BarDepth * Math.Sin(2 * Math.PI * y / s.BarRows));
            for (int x = 0; x < w; x++)
            {
                double u = (x + 0.5) / w - 0.5;
                double value = row * (1 - s.LeftToRight * u) * (1 + grains[y / grain * grainsAcross + x / grain]);
                if (s.HaloPixels is { } r) value *= Math.Exp(-(u * u * w * w + v * v * h * h) / (2 * r * r));
                map[y * w + x] = (float)value;
            }
        }

        return map;
    }
}
