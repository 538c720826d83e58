using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Prediction;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

public class RiskMapTests
{
    private static readonly LightEstimate Dimmer = TestLights.Pulses(400, 0.4, 12, TestLights.Take("25", 1 / 250.0, 0.0005), TestLights.Take("30", 1 / 1000.0, 0.0005));

    [Fact]
    public void Cells_are_the_forecasts_and_impossible_shutters_are_empty()
    {
        RiskMap map = RiskMap.Compute([Dimmer], StandardSettings.Rates, StandardSettings.Shutters, ReadoutTime.FromSeconds(0.016), Policy.Default);
        Assert.Equal(StandardSettings.Shutters.Count, map.Cells.GetLength(0));
        Assert.Equal(13, map.Cells.GetLength(1));
        for (int row = 0; row < map.Shutters.Count; row++)
        {
            for (int column = 0; column < map.Rates.Count; column++)
            {
                RiskCell? cell = map.Cells[row, column];
                if (map.Shutters[row].At(map.Rates[column]) is not { } exposure)
                {
                    Assert.Null(cell);
                    Assert.True(map.Shutters[row].Seconds > map.Rates[column].PeriodSeconds);
                    continue;
                }
                FormatForecast forecast = Forecaster.Forecast(Dimmer, new CameraFormat(map.Rates[column], exposure, ReadoutTime.FromSeconds(0.016)));
                Assert.Equal(forecast.ModulationDepth, cell!.ModulationDepth);
            }
        }
        Assert.Contains(map.Cells.Cast<RiskCell?>(), c => c?.Ruling == Ruling.Fail);
    }

    [Fact]
    public void Several_levels_show_their_worst()
    {
        LightEstimate steady = TestLights.Nothing(TestLights.Take("25", 1 / 250.0, 0.0005));
        FrameRate[] rates = [FrameRate.Parse("25")];
        ShutterSetting[] shutters = [ShutterSetting.OfTime(1 / 250.0)];
        RiskCell one = RiskMap.Compute([steady], rates, shutters, null, Policy.Default).Cells[0, 0]!;
        RiskCell both = RiskMap.Compute([steady, Dimmer], rates, shutters, null, Policy.Default).Cells[0, 0]!;
        Assert.Equal(Ruling.Pass, one.Ruling);
        Assert.Equal(Ruling.Fail, both.Ruling);
        Assert.True(both.ModulationDepth.Value > one.ModulationDepth.Value);
    }

    [Fact] // Closed form: 400 Hz, duty 0.4, 1/250 s is 1.6 periods: (0.8 − 0.4) / (0.8 + 0.4) = 0.333, of which twelve overtones rebuild 0.325.
    public void A_cell_tells_exposure_depth_and_ruling()
    {
        RiskMap map = RiskMap.Compute([Dimmer], [FrameRate.Parse("59.94")], [ShutterSetting.OfTime(1 / 250.0), ShutterSetting.OfAngle(172.8)], null, Policy.Default);
        Assert.InRange(map.Cells[0, 0]!.ModulationDepth.Value, 0.323, 0.334);
        Assert.Equal(Ruling.Fail, map.Cells[0, 0]!.Ruling);
        Assert.Equal(172.8 / 360 * 1001 / 60000, map.Cells[1, 0]!.ExposureSeconds, 1e-9);
    }
}
