using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Properties;

/// <summary>What a measurement of light must do whatever the light: laws that follow from flicker being a ratio of light over time.</summary>
public class MeasurementLaws
{
    private const int Inputs = 10;

    [Law(Inputs)]
    internal void A_plain_ripple_is_found_as_it_is(Scene scene)
    {
        TakeMeasurement found = Scene.Measured(scene.Take());

        Tone tone = found.Tones[0];
        Assert.Contains(tone.CandidatesHz, hz => Math.Abs(hz - scene.Hz) < 0.05);
        Near(scene.OnCamera, tone.Amplitude.Value, 0.01, 2e-4);
        Near(scene.OnCamera, found.ModulationDepth!.Value.Value, 0.01, 4e-4);
    }

    [Law(Inputs)]
    internal void Bands_finer_than_the_rows_never_name_a_wrong_frequency(FineScene fine)
    {
        TakeMeasurement found = Scene.Measured(fine.Scene.Take());

        foreach (Tone tone in found.Tones)
        {
            // One frequency is a statement; it may only be the true one or an overtone of it.
            if (tone.FrequencyHz is not { } hz) continue;
            double multiple = Math.Round(hz.Value / fine.Scene.Hz);
            Assert.True(multiple >= 1 && Math.Abs(hz.Value - multiple * fine.Scene.Hz) < 0.1, FormattableString.Invariant($"{hz.Value:0.###} Hz stated"));
        }
        // Whatever its frequency, the ripple is there to see (a row averages nothing: it reads one moment).
        Assert.True(found.ModulationDepth!.Value.High >= 0.98 * fine.Scene.OnCamera);
    }

    [Law(Inputs)]
    internal void More_or_less_of_the_same_light_changes_nothing(Scene scene)
    {
        SampledTake take = scene.Take();
        TakeMeasurement before = Scene.Measured(take);
        foreach (float gain in new[] { 0.25f, 0.61f, 1.7f })
        {
            TakeMeasurement after = Scene.Measured(Scene.With(take, strips => [.. strips.Select(s => s.Select(v => v * gain).ToArray())]));
            SameStatement(before, after, 1e-4);
        }
    }

    [Law(Inputs)]
    internal void A_ripple_half_as_deep_measures_half(Scene scene)
    {
        Tone whole = Scene.Measured(scene.Take()).Tones[0], half = Scene.Measured((scene with { Amplitude = scene.Amplitude / 2 }).Take()).Tones[0];

        Near(0.5, half.Amplitude.Value / whole.Amplitude.Value, 0.02, 0);
        Assert.Equal(whole.AliasHz.Value, half.AliasHz.Value, 0.02);
    }

    [Law(Inputs)]
    internal void Steady_light_dilutes_and_a_reference_undoes_it(Scene scene)
    {
        Scene lit = scene with { SteadyLight = scene.Level };
        SampledTake take = lit.Take();
        Near(scene.OnCamera / 2, Scene.Measured(take).Tones[0].Amplitude.Value, 0.01, 2e-4);

        // The fixture off: the steady light alone, shaded alike.
        SampledTake off = (lit with { Level = 0 }).Take();
        float[][] reference = [.. Enumerable.Range(0, Scene.Strips).Select(s => Enumerable.Range(0, Scene.Rows).Select(r =>
            Enumerable.Range(0, Scene.Frames).Average(n => off.Traces.Strip(s)[n * Scene.Rows + r])).ToArray())];
        Near(scene.OnCamera, Scene.Measured(take with { Reference = reference }).Tones[0].Amplitude.Value, 0.01, 4e-4);
    }

    [Law(Inputs)]
    internal void The_clock_may_start_anywhere(Scene scene)
    {
        TakeMeasurement before = Scene.Measured(scene.Take());
        SameStatement(before, Scene.Measured(scene.Take(timesFrom: 17.25)), 1e-4);

        // The light itself a quarter period later: another phase, the same light.
        Tone later = Scene.Measured((scene with { Phase = scene.Phase + Math.PI / 2 }).Take()).Tones[0];
        Assert.Equal(before.Tones[0].AliasHz.Value, later.AliasHz.Value, 0.02);
        Near(before.Tones[0].Amplitude.Value, later.Amplitude.Value, 0.01, 2e-4);
    }

    [Law(Inputs)]
    internal void A_longer_take_says_the_same_more_sharply(Scene scene)
    {
        Tone shorter = Scene.Measured(scene.Take(40)).Tones[0], longer = Scene.Measured(scene.Take(120)).Tones[0];

        Near(shorter.Amplitude.Value, longer.Amplitude.Value, 0.02, 4e-4);
        Assert.Equal(shorter.AliasHz.Value, longer.AliasHz.Value, 0.05);
        Assert.True(Width(longer.AliasHz) < Width(shorter.AliasHz), "Three times the frames did not narrow the frequency.");
    }

    [Law(Inputs)]
    internal void The_order_of_the_strips_means_nothing(Scene scene)
    {
        SampledTake take = scene.Take();
        SameStatement(Scene.Measured(take), Scene.Measured(Scene.With(take, s => [s[2], s[0], s[3], s[1]])), 1e-4);
    }

    [Law(Inputs)]
    internal void A_camera_upside_down_sees_the_same_light(Scene scene)
    {
        SampledTake take = scene.Take();
        SampledTake turned = Scene.With(take, strips => [.. strips.Select(s =>
            Enumerable.Range(0, s.Length).Select(i => s[i / Scene.Rows * Scene.Rows + Scene.Rows - 1 - i % Scene.Rows]).ToArray())])
            with { Readout = ReadoutTime.FromSeconds(-scene.ReadoutSeconds) };

        TakeMeasurement upright = Scene.Measured(take), reversed = Scene.Measured(turned);

        Near(upright.Tones[0].Amplitude.Value, reversed.Tones[0].Amplitude.Value, 1e-3, 1e-5);
        Assert.Equal(upright.Tones[0].CandidatesHz.Count, reversed.Tones[0].CandidatesHz.Count);
        foreach ((double one, double other) in upright.Tones[0].CandidatesHz.Zip(reversed.Tones[0].CandidatesHz)) Assert.Equal(one, other, 0.01);
    }

    [Law(Inputs)]
    internal void The_forecast_at_the_measured_setting_returns_the_measurement(Scene scene)
    {
        TakeMeasurement measured = Scene.Measured(scene.Take());
        LightEstimate light = LightFusion.Fuse([measured]);

        FormatForecast forecast = Forecaster.Forecast(light, measured.Take);

        Near(measured.ModulationDepth!.Value.Value, forecast.ModulationDepth.Value, 0.01, 1e-4);
        Assert.True(forecast.ModulationDepth.High >= measured.ModulationDepth.Value.Value);
        // And the take itself, where there is one, speaks before the forecast.
        Assert.Equal(measured.ModulationDepth.Value.Value, Forecaster.Forecast(light, measured.Take, [measured]).ModulationDepth.Value);
    }

    [Law(Inputs)]
    internal void Two_takes_of_one_light_are_one_light(Scene scene)
    {
        Scene other = scene with { ExposureSeconds = scene.ExposureSeconds / 2, Phase = scene.Phase + 1, NoiseSeed = scene.NoiseSeed + 1 };
        TakeMeasurement a = Scene.Measured(scene.Take()), b = Scene.Measured(other.Take());

        LightEstimate there = LightFusion.Fuse([a, b]), back = LightFusion.Fuse([b, a]);

        Near(scene.Amplitude, there.Components[0].Amplitude.Value, 0.02, 5e-4);
        Near(there.Components[0].Amplitude.Value, back.Components[0].Amplitude.Value, 1e-3, 1e-6);
        Assert.DoesNotContain(there.Findings, f => f.Code == FindingCodes.ContradictingTakes);
    }

    private static double Width(Estimate estimate) => estimate.High - estimate.Low;

    private static void SameStatement(TakeMeasurement one, TakeMeasurement other, double tolerance)
    {
        Assert.Equal(one.Tones.Count, other.Tones.Count);
        foreach ((Tone a, Tone b) in one.Tones.Zip(other.Tones))
        {
            Assert.Equal(a.AliasHz.Value, b.AliasHz.Value, tolerance);
            Near(a.Amplitude.Value, b.Amplitude.Value, tolerance, 1e-7);
            Assert.Equal(a.CandidatesHz.Count, b.CandidatesHz.Count);
        }
        Near(one.ModulationDepth!.Value.Value, other.ModulationDepth!.Value.Value, tolerance, 1e-7);
        Near(one.DetectionLimit, other.DetectionLimit, 10 * tolerance, 1e-7);
        Assert.Equal(one.Findings.Select(f => f.Code), other.Findings.Select(f => f.Code));
    }

    private static void Near(double expected, double actual, double relative, double absolute) =>
        Assert.True(Math.Abs(actual - expected) <= relative * Math.Abs(expected) + absolute, FormattableString.Invariant($"Expected {expected:R}, found {actual:R}."));
}
