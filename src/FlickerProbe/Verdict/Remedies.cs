using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;

namespace FlickerProbe.Verdict;

/// <summary>What to try when a light flickers on camera, in the order of least cost: shutter, frame rate, the fixture's own setting, dimmer level, another fixture.</summary>
public static class Remedies
{
    /// <summary>Plain sentences, cheapest first; empty when the format passes.</summary>
    /// <param name="light">The light at the level in question.</param>
    /// <param name="format">The format that does not pass.</param>
    /// <param name="otherLevels">Name and ruling of the fixture's other levels at this format; empty when there are none.</param>
    /// <param name="policy">The lines.</param>
    /// <param name="takes">The takes of this level: where one was shot at the very setting its own depth counts.</param>
    public static IReadOnlyList<string> For(
        LightEstimate light, CameraFormat format, IReadOnlyList<(string Level, Ruling Ruling)> otherLevels, Policy policy, IReadOnlyList<TakeMeasurement>? takes = null)
    {
        Forecaster forecaster = new(light);
        FormatForecast now = DirectMeasurement.Apply(forecaster.At(format), takes ?? []);
        if (Judge.Format(now, policy).Ruling == Ruling.Pass) return [];

        List<string> remedies = [];
        SafeExposures found = SafeExposures.Find([light], format.Rate, format.Exposure, format.Readout, policy, takes is null ? null : [takes]);
        // The shutter that was judged is no way out of itself.
        SafeExposure[] worthATake = [.. found.WorthATake.Where(e => format.Exposure is null || !e.Exposure.IsSameSetting(format.Exposure))];
        // What may as well be nothing is no flicker of the fixture's.
        static bool Reaches(Estimate depth, Lines lines) => depth.Low > 0 && depth.Value >= lines.Pass;
        bool isSeen = Reaches(now.ModulationDepth, policy.Depth) || Reaches(now.PulsingDepth, policy.Pulsing);
        if (found.Safe.Count > 0)
            remedies.Add($"Set the shutter to {Names(found.Safe)}{At(format)}: there the light stays under the pass line.");
        else if (worthATake.Length > 0 && light.Components.Count > 0)
            remedies.Add($"Try the shutter {Names(worthATake)}{At(format)}: what was seen of the light fades there, but shoot a take with it before you rely on it.");
        if (!isSeen) return remedies;

        if (found.Safe.Count == 0 && !format.Rate.IsStandIn && OtherRate(light, format, forecaster, policy) is { } otherRate) remedies.Add(otherRate);
        if (light.FundamentalHz is { } fundamental && !IsMains(fundamental.Value))
            remedies.Add(string.Create(CultureInfo.InvariantCulture,
                $"If the fixture has a dimming-frequency setting, raise it: its light pulses at about {fundamental.Value:0} Hz now, and ten times that leaves about a tenth of the flicker."));
        else if (light.FundamentalHz is not null)
            remedies.Add("The light follows the mains: another power supply or driver, or a mode without dimming, may take that away.");
        string[] better = [.. otherLevels.Where(l => l.Ruling == Ruling.Pass).Select(l => l.Level)];
        if (better.Length > 0) remedies.Add($"Use the dimmer level {string.Join(" or ", better.Take(3))}, which passes here, and lower the light by distance, filter or iris instead.");
        remedies.Add("Use another fixture for this shot.");
        return remedies;
    }

    private static string Names(IReadOnlyList<SafeExposure> exposures) => string.Join(" or ", exposures.Take(3).Select(e => e.Label));

    private static string At(CameraFormat format) => format.Rate.IsStandIn ? "" : $" at {format.Rate.ToShortText()} frames per second";

    private static bool IsMains(double hz) => Math.Abs(hz - 100) < 2 || Math.Abs(hz - 120) < 2.4;

    /// <summary>Another frame rate that does better: with the same shutter, or because it leaves room for a longer one.</summary>
    private static string? OtherRate(LightEstimate light, CameraFormat format, Forecaster forecaster, Policy policy)
    {
        FrameRate[] passing = [.. StandardSettings.Rates.Where(r => r != format.Rate && format.Exposure?.Seconds <= r.PeriodSeconds * 1.002
            && Judge.Format(forecaster.At(format with { Rate = r }), policy).Ruling == Ruling.Pass)];
        if (passing.Length > 0)
            return $"Set the frame rate to {string.Join(" or ", passing.OrderBy(r => Math.Abs(Math.Log(r.Hertz / format.Rate.Hertz))).Take(2).Select(r => r.ToShortText()))} with the same shutter: there the light stays under the pass line.";
        foreach (FrameRate slower in StandardSettings.Rates.Where(r => r.Hertz < format.Rate.Hertz - 0.5).OrderByDescending(r => r.Hertz))
        {
            IReadOnlyList<SafeExposure> safe = SafeExposures.Find([light], slower, null, format.Readout, policy).Safe;
            if (safe.Count > 0) return $"Set the frame rate to {slower.ToShortText()}, which leaves room for a shutter that passes: {Names(safe)}.";
        }
        return null;
    }
}
