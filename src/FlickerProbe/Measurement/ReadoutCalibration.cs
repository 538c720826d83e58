using FlickerProbe.Camera;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>A camera's readout time, found on a lamp of known rate.</summary>
/// <param name="ReadoutSeconds">Readout over the full coded height, seconds, 95 % interval; negative: bottom to top; 0: global shutter.</param>
/// <param name="IsGlobal">Whether all rows are read at once, as far as the clip can tell.</param>
/// <param name="DirectionKnown">Whether the sign was seen. Where the lamp beats too slowly against the frame rate it can't be, and top to bottom is assumed.</param>
/// <param name="LampHz">The lamp's rate: as seen where the beat says it, else as given, hertz.</param>
/// <param name="Amplitude">Amplitude on camera of the strongest tone used.</param>
public sealed record ReadoutCalibration(Estimate ReadoutSeconds, bool IsGlobal, bool DirectionKnown, Estimate LampHz, double Amplitude)
{
    /// <summary>How far a mains-fed lamp may be from its nominal rate, as a share. EN 50160 allows interconnected grids ± 1 % for 99.5 % of a year;
    /// their normal operation keeps within ± 0.1 %, which is what counts here. The project's own choice.</summary>
    public const double LampTolerance = 0.001;

    /// <summary>Fewest bands in the picture that count as a rolling readout; fewer are a global shutter within what rows can show.</summary>
    private const double FewestBands = 0.02;

    private const int HighestOvertone = 6;

    /// <summary>Finds the readout: T_r = ν / f, from the bands ν over the height that the lamp's tone f makes (measurement model, "Light, camera, picture").</summary>
    /// <param name="measurement">A take of the lamp, measured with the readout unknown.</param>
    /// <param name="lampHz">The lamp's rate in hertz: 100 or 120 for a plain mains-fed lamp.</param>
    /// <returns>The readout; null when no tone fits the lamp's rate.</returns>
    /// <remarks>A tone fits when its alias is that of the lamp or of an overtone. The tones that fit are put together by the inverse square of their
    /// intervals. The sign is that of the alias: for ν &gt; 0 a readout from bottom to top shows the alias mirrored.</remarks>
    public static ReadoutCalibration? Find(TakeMeasurement measurement, double lampHz)
    {
        ArgumentNullException.ThrowIfNull(measurement);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(lampHz);
        // Interlaced footage is sampled once a field.
        FrameRate rate = measurement.Take.Rate;
        if (measurement.Findings.Any(f => f.Code == FindingCodes.Interlaced)) rate = FrameRate.FromRational(2 * rate.Numerator, rate.Denominator);
        Sighting[] sightings = [.. measurement.Tones.SelectMany(tone => Sighting.Of(tone, lampHz, rate))];
        // The fundamental must be there: an overtone alone could be anything.
        if (!sightings.Any(s => s.Order == 1)) return null;

        Sighting best = sightings.Where(s => s.Order == 1).MaxBy(s => s.Tone.Amplitude.Value)!;
        Sighting[] used = [.. sightings.GroupBy(s => s.Order).Select(g => g.MaxBy(s => s.Tone.Amplitude.Value)!)
            .Where(s => Abs(s.Readout.Value - best.Readout.Value) <= 3 * Max(s.Readout.HalfWidth, best.Readout.HalfWidth))];
        double weight = used.Sum(s => Weight(s.Readout));
        double magnitude = used.Sum(s => Weight(s.Readout) * s.Readout.Value) / weight;
        double halfWidth = 1 / Sqrt(weight);

        bool isGlobal = best.Tone.BandsPerHeight.Value < FewestBands;
        bool directionKnown = !isGlobal && used.Any(s => s.Direction != 0);
        int sign = used.Where(s => s.Direction != 0).OrderByDescending(s => s.Tone.TimesLimit).FirstOrDefault()?.Direction ?? 1;
        Estimate readout = isGlobal
            ? new Estimate(0, 0, magnitude + halfWidth)
            : sign > 0
                ? new Estimate(magnitude, magnitude - halfWidth, magnitude + halfWidth)
                : new Estimate(-magnitude, -magnitude - halfWidth, -magnitude + halfWidth);
        return new ReadoutCalibration(readout, isGlobal, directionKnown, best.Lamp, best.Tone.Amplitude.Value);
    }

    // An interval of no width would take all the weight; a billionth of a second is below any row time.
    private static double Weight(Estimate estimate) => 1 / Pow(Max(estimate.HalfWidth, 1e-9), 2);

    /// <summary>One tone seen as the lamp's fundamental or overtone.</summary>
    /// <param name="Direction">1: top to bottom, −1: bottom to top, 0: can't be told.</param>
    private sealed record Sighting(Tone Tone, int Order, int Direction, Estimate Lamp, Estimate Readout)
    {
        public static IEnumerable<Sighting> Of(Tone tone, double lampHz, FrameRate rate)
        {
            double seenHalf = tone.AliasHz.HalfWidth;
            for (int order = 1; order <= HighestOvertone; order++)
            {
                double tolerance = order * lampHz * LampTolerance + seenHalf;
                double expected = AliasFrequency.Of(order * lampHz, rate);
                double off = Wrapped(tone.AliasHz.Value - expected, rate), offMirrored = Wrapped(-tone.AliasHz.Value - expected, rate);
                bool straight = Abs(off) <= tolerance, mirrored = Abs(offMirrored) <= tolerance;
                if (!straight && !mirrored) continue;
                // The other direction must be out of the question, not just a little less likely.
                bool doubtful = Abs(straight ? offMirrored : off) <= 1.5 * tolerance;
                int direction = doubtful ? 0 : straight ? 1 : -1;
                // With a known direction the alias says how far the lamp is from its nominal rate.
                Estimate lamp = direction == 0
                    ? new Estimate(lampHz, lampHz * (1 - LampTolerance), lampHz * (1 + LampTolerance))
                    : Around(lampHz + (direction > 0 ? off : offMirrored) / order, seenHalf / order);
                yield return new Sighting(tone, order, direction, lamp, ReadoutOf(tone.BandsPerHeight, order, lamp));
            }
        }

        private static Estimate ReadoutOf(Estimate bands, int order, Estimate lamp)
        {
            double value = bands.Value / (order * lamp.Value);
            double byBands = bands.HalfWidth / (order * lamp.Value);
            double byLamp = value * lamp.HalfWidth / lamp.Value;
            return Around(value, double.Hypot(byBands, byLamp));
        }

        private static Estimate Around(double value, double halfWidth) => new(value, value - halfWidth, value + halfWidth);

        /// <summary>A difference of aliases: they live on a circle of one frame rate.</summary>
        private static double Wrapped(double hertz, FrameRate rate) => hertz - rate.Hertz * Round(hertz / rate.Hertz);
    }
}
