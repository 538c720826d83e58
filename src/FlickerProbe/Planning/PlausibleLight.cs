using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Planning;

/// <summary>In what way a light flickers, as far as the choice of takes goes.</summary>
public enum LightKind
{
    /// <summary>Ripple at twice the mains frequency.</summary>
    MainsRipple,
    /// <summary>Dimmer pulses of 100 Hz to 1 kHz.</summary>
    SlowPulses,
    /// <summary>Dimmer pulses of 1 to 30 kHz.</summary>
    FastPulses,
}

/// <summary>A light that may well turn up.</summary>
/// <param name="Kind">In what way it flickers.</param>
/// <param name="FrequencyHz">Its fundamental, hertz.</param>
/// <param name="Amplitude">Amplitude of its fundamental, relative to the mean.</param>
/// <param name="Weight">Its share of its kind; the weights of a kind add up to 1.</param>
public sealed record PlausibleLight(LightKind Kind, double FrequencyHz, double Amplitude, double Weight)
{
    // Round numbers are what designers type; the rest of the range is covered by a logarithmic grid.
    private static readonly double[] SlowRound = [200, 240, 250, 300, 400, 480, 500, 600, 800, 960, 1000];
    private static readonly double[] FastRound = [1200, 2000, 2400, 2500, 4000, 5000, 8000, 10_000, 15_000, 16_000, 20_000, 25_000, 30_000];

    /// <summary>Amplitude on camera that counts as nothing at a house format: half a per cent, what an 8-bit programme hardly carries.</summary>
    private const double OfNoConcern = 0.005;

    /// <summary>The lights that a plan is made for.</summary>
    /// <remarks>Kinds and ranges: the task's own (ripple at twice the mains, pulses of 100 Hz to 30 kHz); common practice, no published source.
    /// Lights that could not show at any of the house formats weigh less, down to a tenth.</remarks>
    public static IReadOnlyList<PlausibleLight> Set(double? mainsHz, IReadOnlyList<CameraFormat> formats)
    {
        double[] mains = mainsHz is { } hertz ? [hertz] : [50, 60];
        // The mains wanders by some tens of millihertz from minute to minute, the ripple by twice that; and it may just be on the spot.
        var ripple = mains.SelectMany(m => new[] { 2 * m - 0.06, 2 * m, 2 * m + 0.09 }).Select(f => (f, 0.05)).ToList();
        var slow = SlowRound.Concat(Grid(101.3, 991, 24)).Select(f => (f, 0.5)).ToList();
        var fast = FastRound.Concat(Grid(1013, 29_700, 32)).Select(f => (f, 0.8)).ToList();
        return [.. Weigh(LightKind.MainsRipple, ripple, formats), .. Weigh(LightKind.SlowPulses, slow, formats), .. Weigh(LightKind.FastPulses, fast, formats)];
    }

    private static IEnumerable<double> Grid(double first, double last, int count) =>
        Enumerable.Range(0, count).Select(i => first * Pow(last / first, i / (count - 1.0)));

    private static IEnumerable<PlausibleLight> Weigh(LightKind kind, List<(double Hz, double Amplitude)> lights, IReadOnlyList<CameraFormat> formats)
    {
        double[] concern = [.. lights.Select(l => Concern(l.Hz, l.Amplitude, formats))];
        double sum = concern.Sum();
        return lights.Select((l, i) => new PlausibleLight(kind, l.Hz, l.Amplitude, concern[i] / sum));
    }

    private static double Concern(double hertz, double amplitude, IReadOnlyList<CameraFormat> formats)
    {
        if (formats.Count == 0 || formats.Any(f => f.Exposure is null)) return 1;
        double worst = formats.Max(f => amplitude * ExposureGain.Envelope(hertz, f.Exposure!.Seconds));
        return Clamp(worst / OfNoConcern, 0.1, 1);
    }
}
