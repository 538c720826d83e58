using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Prediction;

/// <summary>An exposure at which a light stays under the pass line at every level in use.</summary>
/// <param name="Rate">Frame rate it holds for.</param>
/// <param name="Exposure">The exposure.</param>
/// <param name="Label">As the menu writes it; a whole-period exposure names the frequency it cancels.</param>
/// <param name="ModulationDepth">Depth on camera, the worst of the levels, with interval.</param>
/// <param name="CancelledHz">Frequency of the light of which the exposure holds a whole number of periods; null when it does not rest on that.</param>
/// <param name="DriftToleranceHz">How far the light's frequency may drift either way before the pass line is reached, hertz, searched up to 2 % of it; null with <paramref name="CancelledHz"/>.</param>
public sealed record SafeExposure(FrameRate Rate, ExposureTime Exposure, string Label, Estimate ModulationDepth, double? CancelledHz, double? DriftToleranceHz)
{
    /// <summary>The same tolerance as hertz of mains, when the cancelled frequency is the ripple of 50 or 60 Hz mains (twice the mains frequency); null otherwise.
    /// For scale: interconnected grids keep within ± 0.05 Hz in normal operation (Continental Europe) and ± 1 % for 99.5 % of a year (EN 50160).</summary>
    public double? MainsToleranceHz => CancelledHz is (> 98 and < 102) or (> 117.6 and < 122.4) ? DriftToleranceHz / 2 : null;
}

/// <summary>Exposures sorted by what can be said of them.</summary>
/// <param name="Safe">Upper bound under the pass lines at every level in use; nearest the wanted exposure first.</param>
/// <param name="WorthATake">What was seen stays under the pass lines, but something hidden might not: shoot a take at one of these to know. Nearest first.</param>
public sealed record SafeExposures(IReadOnlyList<SafeExposure> Safe, IReadOnlyList<SafeExposure> WorthATake)
{
    /// <summary>Searches the usual shutters, the usual angles, the wanted exposure and the whole-period exposures of the light.</summary>
    /// <param name="levels">The light at each level in use.</param>
    /// <param name="rate">Frame rate.</param>
    /// <param name="wanted">The exposure the user would like; null: 180 degrees.</param>
    /// <param name="readout">The camera's readout; null when unknown.</param>
    /// <param name="policy">The lines.</param>
    /// <param name="evidence">The takes of each level in the order of <paramref name="levels"/>: what they forbid is not safe, and where one was shot at the very setting its own depth counts; null: forecasts only.</param>
    public static SafeExposures Find(
        IReadOnlyList<LightEstimate> levels, FrameRate rate, ExposureTime? wanted, ReadoutTime? readout, Policy policy,
        IReadOnlyList<IReadOnlyList<TakeMeasurement>>? evidence = null)
    {
        Forecaster[] forecasters = [.. levels.Select(l => new Forecaster(l))];
        double near = wanted?.Seconds ?? rate.PeriodSeconds / 2;
        List<SafeExposure> safe = [], worthATake = [];
        if (levels.Count == 0) return new SafeExposures(safe, worthATake);

        double[] cancelled = [.. levels.SelectMany(Fundamentals).DistinctBy(f => Math.Round(f, 1))];
        (ExposureTime Exposure, string Label)[] choices = [.. Choices(rate, wanted, cancelled).OrderBy(c => Math.Abs(Math.Log(c.Exposure.Seconds / near)))];
        var judged = new (SafeExposure? Found, bool IsSafe)[choices.Length];
        Parallel.For(0, choices.Length, n =>
        {
            (ExposureTime exposure, string label) = choices[n];
            CameraFormat format = new(rate, exposure, readout);
            FormatForecast[] forecasts = [.. forecasters.Select((f, i) => DirectMeasurement.Apply(f.At(format), evidence?[i] ?? []))];
            bool isSafe = forecasts.Select((f, i) => evidence is null ? Judge.Format(f, policy) : Judge.Format(f, evidence[i], policy)).All(j => j.Ruling == Ruling.Pass);
            bool isSeenSafe = isSafe || Array.TrueForAll(forecasts, f => IsSeenSafe(f, policy));
            if (!isSeenSafe) return;

            double? whole = WholePeriod(exposure, cancelled);
            double? tolerance = whole is { } hz && isSafe ? DriftTolerance(levels, AsShot(format, forecasts), hz, policy) : null;
            judged[n] = (new SafeExposure(rate, exposure, label, RiskMap.WorstOf(forecasts.Select(f => f.ModulationDepth)), whole, tolerance), isSafe);
        });
        foreach ((SafeExposure? found, bool isSafe) in judged)
        {
            if (found is not null) (isSafe ? safe : worthATake).Add(found);
        }
        return new SafeExposures(safe, worthATake);
    }

    /// <summary>Whether only what nobody saw stands between a format and a pass. The depth itself is asked too: an upper end cut at 100 % leaves no rest
    /// once a hidden part of 100 % is taken off.</summary>
    private static bool IsSeenSafe(FormatForecast forecast, Policy policy) =>
        forecast.ModulationDepth.Value < policy.Depth.Pass && forecast.PulsingDepth.Value < policy.Pulsing.Pass
        && forecast.ModulationDepth.High - forecast.Hidden.Depth < policy.Depth.Pass && forecast.PulsingDepth.High - forecast.Hidden.Pulsing < policy.Pulsing.Pass;

    private static IEnumerable<double> Fundamentals(LightEstimate light) =>
        light.Components.Where(c => c.State == ComponentState.Resolved && c.HarmonicNumber is null or 1 && c.Amplitude.Value >= Forecaster.ShowsFrom)
            .Select(c => c.FrequencyHz.Value);

    private static IEnumerable<(ExposureTime Exposure, string Label)> Choices(FrameRate rate, ExposureTime? wanted, double[] cancelled)
    {
        List<(ExposureTime Exposure, string Label)> choices = [];
        if (wanted is not null && wanted.Seconds <= rate.PeriodSeconds * 1.002) choices.Add((wanted, wanted.ToShortText()));
        foreach (ShutterSetting shutter in StandardSettings.Shutters)
        {
            if (shutter.At(rate) is { } exposure) choices.Add((exposure, shutter.Label));
        }
        // Whole periods of a fast driver are closer together than any shutter dial: only the slow ones are worth naming.
        foreach (double hz in cancelled.Where(f => f <= 500))
        {
            for (int periods = 1; periods / hz <= rate.PeriodSeconds * 1.0005; periods++)
            {
                ExposureTime exposure = ExposureTime.FromSeconds(Math.Min(periods / hz, rate.PeriodSeconds));
                choices.Add((exposure, ShutterSetting.OfAngle(exposure.Seconds / rate.PeriodSeconds * 360).Label));
            }
        }
        // A dial's own setting goes before the same time written otherwise.
        return choices.DistinctBy(c => Math.Round(Math.Log(c.Exposure.Seconds) / 0.0005));
    }

    /// <summary>The frequency of which the exposure holds whole periods, to the tolerance of a shutter.</summary>
    private static double? WholePeriod(ExposureTime exposure, double[] frequencies)
    {
        foreach (double hz in frequencies)
        {
            double periods = hz * exposure.Seconds;
            if (periods is > 0.5 and < 25 && Math.Abs(periods / Math.Round(periods) - 1) < 2 * exposure.RelativeDeviation) return hz;
        }
        return null;
    }

    /// <summary>A shutter that was recorded at this very setting has shown what it does: its scatter is no longer open.</summary>
    private static CameraFormat AsShot(CameraFormat format, FormatForecast[] forecasts) => Array.TrueForAll(forecasts, f => f.IsDirect)
        ? format with { Exposure = ExposureTime.FromSeconds(format.Exposure!.Seconds, 0) }
        : format;

    /// <summary>Largest drift of one fundamental and its overtones, either way, that keeps all levels under the pass lines.</summary>
    private static double DriftTolerance(IReadOnlyList<LightEstimate> levels, CameraFormat format, double hz, Policy policy)
    {
        bool Holds(double drift) => levels.All(light =>
            Judge.Format(Forecaster.Forecast(Drifted(light, hz, drift / hz), format), policy).Ruling == Ruling.Pass &&
            Judge.Format(Forecaster.Forecast(Drifted(light, hz, -drift / hz), format), policy).Ruling == Ruling.Pass);
        double holds = 0, breaks = 0.02 * hz;
        if (Holds(breaks)) return breaks;
        for (int step = 0; step < 8; step++)
        {
            double middle = (holds + breaks) / 2;
            if (Holds(middle)) holds = middle;
            else breaks = middle;
        }
        return holds;
    }

    private static LightEstimate Drifted(LightEstimate light, double hz, double relative) => light with
    {
        Components = [.. light.Components.Select(c =>
        {
            double order = c.FrequencyHz.Value / hz;
            bool belongs = c.State == ComponentState.Resolved && order > 0.5 && Math.Abs(order - Math.Round(order)) < 0.002 * order;
            return belongs ? c with { FrequencyHz = c.FrequencyHz.Scale(1 + relative) } : c;
        })],
    };
}
