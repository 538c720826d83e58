using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Prediction;

/// <summary>One cell of a risk map.</summary>
/// <param name="Rate">Frame rate.</param>
/// <param name="Shutter">Shutter as the menu writes it.</param>
/// <param name="ExposureSeconds">Its time at this rate.</param>
/// <param name="ModulationDepth">Depth on camera, the worst of the levels, with interval.</param>
/// <param name="Ruling">The ruling by the policy's lines, the worst of the levels.</param>
public sealed record RiskCell(FrameRate Rate, ShutterSetting Shutter, double ExposureSeconds, Estimate ModulationDepth, Ruling Ruling);

/// <summary>How deep a light flickers over frame rate × shutter.</summary>
/// <param name="Rates">Columns.</param>
/// <param name="Shutters">Rows.</param>
/// <param name="Cells">[row, column]; null where the shutter does not fit into the frame.</param>
public sealed record RiskMap(IReadOnlyList<FrameRate> Rates, IReadOnlyList<ShutterSetting> Shutters, RiskCell?[,] Cells)
{
    /// <summary>Computes the map for a light, or for all the levels of one fixture: then each cell shows the worst level.</summary>
    /// <param name="levels">The light at each level in use.</param>
    /// <param name="rates">Frame rates to show.</param>
    /// <param name="shutters">Shutters to show.</param>
    /// <param name="readout">The camera's readout; null when unknown.</param>
    /// <param name="policy">The lines.</param>
    public static RiskMap Compute(
        IReadOnlyList<LightEstimate> levels, IReadOnlyList<FrameRate> rates, IReadOnlyList<ShutterSetting> shutters, ReadoutTime? readout, Policy policy)
    {
        Forecaster[] forecasters = [.. levels.Select(l => new Forecaster(l))];
        RiskCell?[,] cells = new RiskCell?[shutters.Count, rates.Count];
        for (int row = 0; row < shutters.Count; row++)
        {
            for (int column = 0; column < rates.Count; column++)
            {
                if (shutters[row].At(rates[column]) is not { } exposure) continue;
                CameraFormat format = new(rates[column], exposure, readout);
                FormatForecast[] forecasts = [.. forecasters.Select(f => f.At(format))];
                Ruling ruling = forecasts.Max(f => Judge.Format(f, policy).Ruling);
                cells[row, column] = new RiskCell(rates[column], shutters[row], exposure.Seconds, WorstOf(forecasts.Select(f => f.ModulationDepth)), ruling);
            }
        }
        return new RiskMap(rates, shutters, cells);
    }

    internal static Estimate WorstOf(IEnumerable<Estimate> depths)
    {
        Estimate[] all = [.. depths];
        return all.Length == 0 ? new Estimate(0, 0, 1) : new Estimate(all.Max(d => d.Value), all.Max(d => d.Low), all.Max(d => d.High));
    }
}
