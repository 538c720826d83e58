using FlickerProbe.Room;
using Xunit;

namespace FlickerProbe.Tests.Room;

public class Ieee1789Tests
{
    [Theory] // Recommended practices 1 and 2 with their break points; 8.0 % and 3.3 % at 100 Hz: IEEE Std 1789-2015 as restated in secondary texts.
    [InlineData(50, 0.0125, 0.0050)]
    [InlineData(60, 0.0150, 0.0060)]
    [InlineData(89.999, 0.0225, 0.0090)]
    [InlineData(90, 0.0720, 0.02997)]
    [InlineData(100, 0.0800, 0.0333)]
    [InlineData(120, 0.0960, 0.03996)]
    [InlineData(200, 0.160, 0.0666)]
    [InlineData(400, 0.320, 0.1332)]
    [InlineData(1000, 0.800, 0.333)]
    [InlineData(1250, 1.00, 0.416)]
    public void Limits_at_a_frequency(double hz, double lowRisk, double noEffect)
    {
        Assert.Equal(lowRisk, Ieee1789.LowRisk(hz)!.Value, 1e-4);
        Assert.Equal(noEffect, Ieee1789.NoObservableEffect(hz)!.Value, 3e-4);
    }

    [Fact]
    public void Above_the_last_break_point_there_is_no_limit()
    {
        Assert.Null(Ieee1789.LowRisk(1250.1));
        Assert.Equal(0.999, Ieee1789.NoObservableEffect(3000)!.Value, 1e-3);
        Assert.Null(Ieee1789.NoObservableEffect(3000.1));
    }

    [Fact]
    public void Ninety_hertz_belongs_to_the_upper_branch()
    {
        Assert.Equal(3.2, Ieee1789.LowRisk(90)!.Value / Ieee1789.LowRisk(89.9999999)!.Value, 1e-3);
        Assert.Equal(3.33, Ieee1789.NoObservableEffect(90)!.Value / Ieee1789.NoObservableEffect(89.9999999)!.Value, 1e-3);
    }
}
