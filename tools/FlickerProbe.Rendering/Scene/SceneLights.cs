using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Rendering.Scene;

/// <summary>All lights of a recipe, ready to be exposed.</summary>
internal sealed class SceneLights
{
    private readonly ClipRecipe _recipe;
    private readonly LightCompiler _compiler = new();
    private readonly List<CompiledSource> _sources = [];
    private readonly Clockwork _clock;

    public SceneLights(ClipRecipe recipe)
    {
        _recipe = recipe;
        (double kr, double kb) = recipe.Layout.Weights();
        foreach (LightSource source in recipe.Sources)
        {
            if (source.Steps.Count == 0) throw new ArgumentException($"The light '{source.Name}' has no step.");
            List<CompiledStep> steps = [.. source.Steps.Select(s => new CompiledStep(s.StartSeconds, s.Dimmer,
                [.. s.Emitters.Select(e => (_compiler.Compile(e.Waveform), e.Colour))], s.Emitters.All(e => IsSteady(e.Waveform))))];
            double mean = steps[0].Emitters.Sum(e => e.Light.Mean * (kr * e.Colour.R + (1 - kr - kb) * e.Colour.G + kb * e.Colour.B));
            if (!(mean > 0)) throw new ArgumentException($"The light '{source.Name}' gives no light in its first step.");
            bool neutral = steps.All(s => s.Emitters.All(e => e.Colour.IsNeutral()));
            _sources.Add(new CompiledSource(source.Name, 1 / mean, neutral, steps));
        }

        _clock = new Clockwork(_compiler.Rhythms.Rhythms.Count);
    }

    public int Count => _sources.Count;
    public bool Neutral => _sources.All(s => s.Neutral);
    public RhythmSet Rhythms => _compiler.Rhythms;
    public IReadOnlyList<CompiledSource> Sources => _sources;

    public int IndexOf(string name)
    {
        int i = _sources.FindIndex(s => s.Name == name);
        return i >= 0 ? i : throw new ArgumentException($"No light is called '{name}'. There are: {string.Join(", ", _sources.Select(s => s.Name))}.");
    }

    /// <summary>Exposure averages of every source, R, G, B (or all the same where neutral), about a moment.</summary>
    public void Expose(double centreSeconds, Span<double> rgbBySource)
    {
        double half = _recipe.ExposureSeconds / 2;
        Set(centreSeconds);
        for (int i = 0; i < _sources.Count; i++)
        {
            CompiledSource s = _sources[i];
            double r = 0, g = 0, b = 0;
            for (int k = 0; k < s.Steps.Count; k++)
            {
                // The part of the exposure that falls into this step.
                double from = Math.Max(centreSeconds - half, k == 0 ? double.NegativeInfinity : s.Steps[k].StartSeconds);
                double to = Math.Min(centreSeconds + half, k + 1 < s.Steps.Count ? s.Steps[k + 1].StartSeconds : double.PositiveInfinity);
                if (to <= from) continue;
                foreach ((LightNode light, Rgb colour) in s.Steps[k].Emitters)
                {
                    double share = light.Integral(from, to, _clock) / (2 * half) * s.Scale;
                    r += share * colour.R;
                    g += share * colour.G;
                    b += share * colour.B;
                }
            }

            rgbBySource[3 * i] = r;
            rgbBySource[3 * i + 1] = g;
            rgbBySource[3 * i + 2] = b;
        }
    }

    private void Set(double centre)
    {
        for (int g = 0; g < _compiler.Rhythms.Rhythms.Count; g++)
        {
            if (!_compiler.Rhythms.Rhythms[g].MainsLocked) continue;
            double rate = _recipe.Mains.Rate(centre);
            _clock.Rate[g] = rate;
            _clock.OffsetSeconds[g] = _recipe.Mains.OwnTime(centre) - rate * centre;
        }
    }

    private static bool IsSteady(Waveform w) => w switch
    {
        SteadyLight => true,
        SumLight s => s.Parts.All(IsSteady),
        ProductLight p => p.Parts.All(IsSteady),
        _ => false,
    };
}

internal sealed record CompiledSource(string Name, double Scale, bool Neutral, IReadOnlyList<CompiledStep> Steps);

internal sealed record CompiledStep(double StartSeconds, double? Dimmer, IReadOnlyList<(LightNode Light, Rgb Colour)> Emitters, bool Steady);
