using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Prediction;

/// <summary>Lights as their Fourier series, known exactly, with the takes that would have shown them.</summary>
internal static class TestLights
{
    public static FrameRate Rate(string text) => FrameRate.Parse(text);

    public static CameraFormat Format(string text, double relativeDeviation = 0)
    {
        CameraFormat format = CameraFormat.Parse(text);
        return format with { Exposure = ExposureTime.FromSeconds(format.Exposure!.Seconds, relativeDeviation) };
    }

    public static BlindSpot Take(string rate, double exposureSeconds, double limit = 0.001, double? locked = null) =>
        new(limit, Rate(rate), exposureSeconds, 0.016, 0.2, locked);

    public static LightEstimate Nothing(params BlindSpot[] takes) => new(null, [], null, null, [], takes);

    public static LightComponent Tone(double hz, double amplitude, double phase = 0, int? group = 1, int? harmonic = 1) =>
        new(Estimate.Exactly(hz), Estimate.Exactly(amplitude), phase, ComponentState.Resolved, [hz], group, harmonic);

    public static LightEstimate Of(IReadOnlyList<LightComponent> components, params BlindSpot[] takes) =>
        new(components[0].FrequencyHz, [components[0].FrequencyHz.Value], null, null, components, takes);

    public static LightEstimate Sine(double hz, double depth, params BlindSpot[] takes) => Of([Tone(hz, depth)], takes);

    /// <summary>Pulse train 0/1 of duty d: amplitude 2 sin(πhd)/(πhd) against the mean, phase so that the pulse is centred on x = 0.</summary>
    public static LightEstimate Pulses(double hz, double duty, int overtones, params BlindSpot[] takes) => Of(
        [.. Enumerable.Range(1, overtones).Select(h =>
        {
            double c = 2 * Math.Sin(Math.PI * h * duty) / (Math.PI * h * duty);
            return Tone(hz * h, Math.Abs(c), c < 0 ? Math.PI : 0, 1, h);
        })], takes);
}
