using FlickerProbe.Camera;
using FlickerProbe.Measurement;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>Puts the depth that a take recorded in place of a forecast for the same setting: nothing had to be undone, so nothing was lost on the way.</summary>
public static class DirectMeasurement
{
    /// <summary>The forecast, with the depth as recorded where a take has the same exposure (both unknown at one frame rate counts as the same).
    /// Of several such takes the worst counts. What that take could not have shown stays in the upper end, but for what other sound takes rule out:
    /// the light is one, and both intervals hold it. A take in which light that the others show may stand still tells nothing of that light: the forecast remains.</summary>
    public static FormatForecast Apply(FormatForecast forecast, IReadOnlyList<TakeMeasurement> takes)
    {
        TakeMeasurement[] same = [.. takes.Where(t => IsSame(t.Take, forecast.Format) && t.ModulationDepth is not null && !Stands(forecast, t, takes))];
        Estimate[] depths = [.. same.Select(t =>
        {
            Estimate recorded = t.ModulationDepth!.Value;
            // What the take could not have shown may add to what it did show, if its own interval does not say so already.
            double unseen = Max(t.DetectionLimit, t.LockedBound ?? 0), high = Max(recorded.High, recorded.Value + unseen);
            // What might stand in this take, others may have shown not to be there.
            if (t.IfNothingStands is { } moving)
                high = Min(high, Max(moving.ModulationDepth.High, recorded.Value + Max(moving.DetectionLimit, StandingLight.Bound(t, takes) ?? 0)));
            return new Estimate(recorded.Value, recorded.Low, Max(recorded.Value, high));
        })];
        if (depths.Length == 0) return forecast;
        Estimate worst = depths.MaxBy(d => d.Value);
        double highest = Min(1, depths.Max(d => d.High));
        TakeMeasurement[] sound = [.. takes.Where(t => t.IsSound && t.Take.Exposure is not null)];
        bool othersSay = sound.Length > 1 || Array.Exists(sound, t => !IsSame(t.Take, forecast.Format));
        if (othersSay && worst.Low <= forecast.ModulationDepth.High) highest = Max(worst.Value, Min(highest, forecast.ModulationDepth.High));
        return forecast with
        {
            ModulationDepth = new Estimate(worst.Value, worst.Low, highest).Within(0, 1),
            // The picture as a whole can't pulse more than its rows do, and what is not seen as a tone is light of some rate that rows average.
            PulsingDepth = forecast.PulsingDepth.Within(0, Max(forecast.PulsingDepth.Value, highest * RowAverage(forecast.Format.Readout))),
            // A still shows bands also where no readout tells what rate they have.
            Appearance = forecast.Appearance == Appearance.Nothing && forecast.Format.Rate.IsStandIn && same.Any(t => t.Tones.Count > 0) ? Appearance.Bands : forecast.Appearance,
            IsDirect = true,
        };
    }

    /// <summary>Whether light that other takes show may stand still unseen in this one, more of it than this one's depth would allow for.</summary>
    private static bool Stands(FormatForecast forecast, TakeMeasurement take, IReadOnlyList<TakeMeasurement> takes)
    {
        if (take.IfNothingStands is not { } moving) return false;
        double allowed = Max(moving.DetectionLimit, StandingLight.Bound(take, takes) ?? 0);
        return forecast.Tones.Any(tone =>
        {
            double hertz = tone.FrequencyHz.Value, wander = DriverClock.Wander(hertz, tone.FrequencyHz.StandardDeviation);
            return tone.Absolute.High > allowed && AbsentTone.MayStandUnseen(take, hertz, wander) && !AbsentTone.IsShown(take, hertz, wander);
        });
    }

    /// <summary>The largest share of a ripple that the mean of all rows keeps: |sinc(f T_r)| for light of 90 Hz and more (twice the slowest mains with tolerance).</summary>
    private static double RowAverage(ReadoutTime? readout)
    {
        if (readout is null || readout.IsGlobal) return 1;
        double most = 0;
        for (double f = 90; f < 2000; f += 5) most = Max(most, Abs(ExposureGain.At(f, Abs(readout.Seconds))));
        return Min(1, most);
    }

    /// <summary>Whether two settings record a light alike. The depth on camera comes from the exposure alone: the readout changes where the
    /// bands lie and the rate how they move. With unknown exposures only the very same rate is taken to be the same setting.</summary>
    public static bool IsSame(CameraFormat left, CameraFormat right) =>
        left.Exposure is null || right.Exposure is null
            ? left.Exposure is null && right.Exposure is null && left.Rate == right.Rate
            : left.Exposure.IsSameSetting(right.Exposure);
}
