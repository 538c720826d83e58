using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;
using FlickerProbe.Rendering.Truth;

namespace FlickerProbe.Validation.Cases;

/// <summary>One true tone of all the light in the region.</summary>
/// <param name="FrequencyHz">Mean frequency over the clip, mains drift counted in, hertz.</param>
/// <param name="Amplitude">Amplitude at the source relative to the mean of all light.</param>
/// <param name="OnCamera">Amplitude on camera, a·|G|.</param>
/// <param name="AliasHz">Alias against the rate at which the sensor took pictures (fields, for interlaced clips), hertz.</param>
public sealed record TrueTone(double FrequencyHz, double Amplitude, double OnCamera, double AliasHz);

/// <summary>What is true of a case.</summary>
/// <param name="DepthOnCamera">Modulation depth of all light in the region after the clip's own exposure, over all moments the exposure can begin.</param>
/// <param name="LampDepthOnCamera">The same without steady other light.</param>
/// <param name="Tones">Tones with at least 0.001 % on camera, at most 300, largest first.</param>
/// <param name="FundamentalsHz">Rates of the drivers over the clip, hertz.</param>
/// <param name="OtherDepth">Depth of all light in the region at the other setting that is forecast.</param>
/// <param name="OtherLampDepth">The same without steady other light.</param>
public sealed record CaseTruth(
    double DepthOnCamera, double LampDepthOnCamera, IReadOnlyList<TrueTone> Tones, IReadOnlyList<double> FundamentalsHz, double OtherDepth, double OtherLampDepth)
{
    /// <summary>The truth of a case, by the renderer's exact analysis of its waveforms.</summary>
    public static CaseTruth Of(ValidationCase c)
    {
        ClipRecipe recipe = c.Recipe;
        double mains = MeanMainsRate(recipe), tickHz = TickHz(recipe);
        LightAnalysis all = Analysis(recipe, mains, withRoom: true), lamp = Analysis(recipe, mains, withRoom: false);
        IReadOnlyList<TrueTone> tones =
        [
            .. all.Components(1e-5, 120_000)
                .Select(l => new TrueTone(l.FrequencyHz, l.Amplitude, l.Amplitude * Math.Abs(TruthFinder.ExposureGain(l.FrequencyHz, recipe.ExposureSeconds)), Alias(l.FrequencyHz, tickHz)))
                .Where(t => t.OnCamera >= 1e-5)
                .OrderByDescending(t => t.OnCamera).Take(300),
        ];
        return new CaseTruth(
            all.OnCameraDepth(recipe.ExposureSeconds), lamp.OnCameraDepth(recipe.ExposureSeconds), tones,
            [.. c.Fundamentals.Select(f => f.OnMains ? f.Hertz * mains : f.Hertz)],
            all.OnCameraDepth(c.OtherFormat.ExposureSeconds), lamp.OnCameraDepth(c.OtherFormat.ExposureSeconds));
    }

    /// <summary>The truth when other light was subtracted by a reference take.</summary>
    public CaseTruth WithoutOtherLight(ValidationCase c)
    {
        double share = c.Recipe.Surfaces[0].Lights.Where(l => l.Source != "room").Sum(l => l.Share);
        return this with
        {
            DepthOnCamera = LampDepthOnCamera,
            OtherDepth = OtherLampDepth,
            Tones = [.. Tones.Select(t => t with { Amplitude = t.Amplitude / share, OnCamera = t.OnCamera / share })],
        };
    }

    /// <summary>Modulation depth of all light on the surface after an exposure of this many seconds.</summary>
    public static double DepthAt(ClipRecipe recipe, double exposureSeconds) =>
        Analysis(recipe, MeanMainsRate(recipe), withRoom: true).OnCameraDepth(exposureSeconds);

    /// <summary>Moments at which the sensor took pictures, per second: fields count each.</summary>
    public static double TickHz(ClipRecipe recipe) =>
        recipe.FrameRate.FramesPerSecond * (recipe.Faults.Fields == FieldOrder.Progressive ? 1 : 2);

    /// <summary>Alias of a frequency, −F/2…F/2.</summary>
    public static double Alias(double hertz, double tickHz) => hertz - tickHz * Math.Round(hertz / tickHz);

    /// <summary>The light of several sources, each scaled to its share; mains-locked ones run at <paramref name="mainsRate"/> times their nominal rate.</summary>
    internal static Waveform Mixture(IEnumerable<(Waveform Light, double Share)> parts, double mainsRate) => new SumLight
    {
        Parts = [.. parts.Where(p => p.Share > 0).Select(p => p.Light.Times(p.Share / LightAnalysis.Of(p.Light).Mean)).Select(w => Running(w, mainsRate))],
    };

    private static LightAnalysis Analysis(ClipRecipe recipe, double mainsRate, bool withRoom) =>
        LightAnalysis.Of(Mixture(recipe.Surfaces[0].Lights.Where(l => withRoom || l.Source != "room").Select(l => (WaveformOf(recipe, l.Source), l.Share)), mainsRate));

    private static Waveform WaveformOf(ClipRecipe recipe, string source) =>
        recipe.Sources.First(s => s.Name == source).Steps[0].Emitters[0].Waveform;

    private static double MeanMainsRate(ClipRecipe recipe)
    {
        double from = recipe.StartSeconds, seconds = recipe.Frames / recipe.FrameRate.FramesPerSecond;
        return (recipe.Mains.OwnTime(from + seconds) - recipe.Mains.OwnTime(from)) / seconds;
    }

    private static Waveform Running(Waveform w, double mainsRate) => w.WithEachLeaf(leaf => leaf switch
    {
        TonesLight { MainsLocked: true } t => t with { FundamentalHz = t.FundamentalHz * mainsRate },
        PulseLight { MainsLocked: true } p => p with { FrequencyHz = p.FrequencyHz * mainsRate, EdgeSeconds = p.EdgeSeconds / mainsRate },
        RectifiedLight { MainsLocked: true } r => r with { MainsHz = r.MainsHz * mainsRate },
        _ => leaf,
    });
}
