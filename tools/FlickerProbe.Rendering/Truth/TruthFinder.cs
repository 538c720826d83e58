using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Rendering.Truth;

/// <summary>Works out the truth of a recipe from its waveforms.</summary>
public static class TruthFinder
{
    /// <summary>The alias of a frequency: f − kF, −F/2 &lt; α ≤ F/2, Hz.</summary>
    public static double AliasHz(double frequencyHz, FrameRate rate)
    {
        double f = rate.FramesPerSecond, alias = frequencyHz - f * Math.Round(frequencyHz / f);
        return alias <= -f / 2 ? alias + f : alias;
    }

    /// <summary>sinc(f·Te) = sin(πfTe)/(πfTe).</summary>
    public static double ExposureGain(double frequencyHz, double exposureSeconds)
    {
        double x = Math.PI * frequencyHz * exposureSeconds;
        return Math.Abs(x) < 1e-4 ? 1 - x * x / 6 : Math.Sin(x) / x;
    }

    internal static IReadOnlyList<StepTruth> Steps(ClipRecipe recipe, Surface surface)
    {
        recipe = AtMeanMains(recipe);
        SceneLights lights = new(recipe);
        bool coloured = !lights.Neutral || !surface.Colour.IsNeutral();
        List<double> starts = Starts(surface, lights);
        List<StepTruth> steps = [];
        double first = 0;
        for (int i = 0; i < starts.Count; i++)
        {
            LightAnalysis all = Mix(recipe, surface, lights, starts[i], true, Channel.Luminance)!;
            LightAnalysis? flickering = Mix(recipe, surface, lights, starts[i], false, Channel.Luminance);
            if (i == 0) first = all.Mean;
            Dictionary<Channel, LightTruth>? primaries = null;
            if (coloured && flickering is not null)
            {
                primaries = [];
                foreach (Channel c in new[] { Channel.Red, Channel.Green, Channel.Blue })
                {
                    if (Mix(recipe, surface, lights, starts[i], false, c) is { } one) primaries[c] = Light(recipe, one);
                }
            }

            LightTruth recorded = Light(recipe, all);
            steps.Add(new StepTruth
            {
                StartSeconds = i == 0 ? null : starts[i],
                Dimmer = surface.Lights.Select(l => StepAt(lights.Sources[lights.IndexOf(l.Source)], starts[i]).Dimmer).FirstOrDefault(d => d is not null),
                MeanLight = first > 0 ? all.Mean / first : 0,
                Light = flickering is null ? null : HasSteadyPart(surface, lights, starts[i]) ? Light(recipe, flickering) : recorded,
                Recorded = recorded,
                Primaries = primaries,
            });
        }

        return steps;
    }

    internal static LightAnalysis? Analysis(ClipRecipe recipe, string region, int step, bool withSteady, Channel channel)
    {
        recipe = AtMeanMains(recipe);
        Surface surface = recipe.Surfaces.FirstOrDefault(s => s.Name == region) ?? throw new ArgumentException($"No region is called '{region}'.");
        SceneLights lights = new(recipe);
        List<double> starts = Starts(surface, lights);
        if (step < 0 || step >= starts.Count) throw new ArgumentException($"'{region}' has {starts.Count} step(s); there is no step {step}.");
        return Mix(recipe, surface, lights, starts[step], withSteady, channel);
    }

    /// <summary>The recipe with the mains-locked lights at the mean rate that the mains has over the clip.</summary>
    private static ClipRecipe AtMeanMains(ClipRecipe recipe)
    {
        double from = recipe.StartSeconds, length = recipe.FrameRate.StartOf(recipe.Frames);
        double rate = (recipe.Mains.OwnTime(from + length) - recipe.Mains.OwnTime(from)) / length;
        if (Math.Abs(rate - 1) < 1e-15) return recipe;
        return recipe with
        {
            Sources =
            [
                .. recipe.Sources.Select(s => s with
                {
                    Steps = [.. s.Steps.Select(t => t with { Emitters = [.. t.Emitters.Select(e => e with { Waveform = e.Waveform.WithMainsAt(rate) })] })],
                }),
            ],
        };
    }

    private static List<double> Starts(Surface surface, SceneLights lights)
    {
        SortedSet<double> starts = [];
        foreach (LightOnSurface l in surface.Lights)
        {
            foreach (CompiledStep s in lights.Sources[lights.IndexOf(l.Source)].Steps.Skip(1)) starts.Add(s.StartSeconds);
        }

        return [double.NegativeInfinity, .. starts];
    }

    private static CompiledStep StepAt(CompiledSource source, double seconds) =>
        source.Steps.Skip(1).LastOrDefault(s => s.StartSeconds <= seconds) ?? source.Steps[0];

    private static bool HasSteadyPart(Surface surface, SceneLights lights, double at) =>
        surface.Lights.Any(l => StepAt(lights.Sources[lights.IndexOf(l.Source)], at).Steady);

    private static LightAnalysis? Mix(ClipRecipe recipe, Surface surface, SceneLights lights, double at, bool withSteady, Channel channel)
    {
        (double kr, double kb) = recipe.Layout.Weights();
        List<(double, LightNode)> parts = [];
        foreach (LightOnSurface l in surface.Lights)
        {
            CompiledSource source = lights.Sources[lights.IndexOf(l.Source)];
            CompiledStep step = StepAt(source, at);
            if (step.Steady && !withSteady) continue;
            foreach ((LightNode light, Rgb e) in step.Emitters)
            {
                Rgb s = surface.Colour;
                double weight = channel switch
                {
                    Channel.Red => e.R * s.R,
                    Channel.Green => e.G * s.G,
                    Channel.Blue => e.B * s.B,
                    _ => kr * e.R * s.R + (1 - kr - kb) * e.G * s.G + kb * e.B * s.B,
                };
                if (weight * l.Share > 0) parts.Add((weight * l.Share * source.Scale, light));
            }
        }

        if (parts.Count == 0 && withSteady) parts.Add((0, new SteadyNode(1))); // a black surface
        return parts.Count == 0 ? null : new LightAnalysis(LightCompiler.Mix(parts), lights.Rhythms);
    }

    private static LightTruth Light(ClipRecipe recipe, LightAnalysis light) => new()
    {
        ModulationDepth = light.ModulationDepth(),
        FlickerIndex = light.FlickerIndex(),
        OnCameraDepth = light.OnCameraDepth(recipe.ExposureSeconds),
        Components =
        [
            .. light.Components().Take(40).Select(c =>
            {
                double gain = ExposureGain(c.FrequencyHz, recipe.ExposureSeconds);
                return new ComponentTruth
                {
                    FrequencyHz = c.FrequencyHz,
                    Amplitude = c.Amplitude,
                    Gain = gain,
                    OnCameraAmplitude = c.Amplitude * Math.Abs(gain),
                    AliasHz = AliasHz(c.FrequencyHz, recipe.FrameRate),
                    Bands = c.FrequencyHz * recipe.ReadoutSeconds,
                };
            }),
        ],
    };
}
