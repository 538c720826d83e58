using FlickerProbe.Camera;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Light;

namespace FlickerProbe.Tests.Pipeline;

/// <summary>What a result file keeps of a light is what later forecasts get back.</summary>
public class LightRecordTests
{
    [Theory]
    [InlineData(null, null)]
    [InlineData(0.02, null)]
    [InlineData(null, 0.03)]
    public void What_the_takes_could_not_show_comes_back(double? locked, double? halfWave)
    {
        BlindSpot blind = new(0.001, FrameRate.FromRational(25, 1), 0.004, -0.016, 0.2, locked) { HalfWaveBound = halfWave };
        LightEstimate light = new(null, [], null, null, [], [blind]);
        Assert.Equal(blind, Assert.Single(LightRecord.Read(LightRecord.Of(light)).Blind));
    }
}
