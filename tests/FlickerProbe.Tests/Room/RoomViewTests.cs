using FlickerProbe.Light;
using FlickerProbe.Room;
using FlickerProbe.Tests.Prediction;
using Xunit;

namespace FlickerProbe.Tests.Room;

public class RoomViewTests
{
    private static readonly BlindSpot Take = TestLights.Take("25", 1 / 1000.0, 0.0005);

    private static RoomFigure Figure(LightEstimate light, string metric) =>
        RoomView.Of(light, StroboscopicThreshold.Cie2016).First(f => f.Metric.Contains(metric, StringComparison.Ordinal));

    [Fact]
    public void A_mains_ripple_gets_its_figures_with_line_and_source()
    {
        LightEstimate ripple = TestLights.Sine(100, 0.2563, Take);
        Assert.Equal(0.08, Figure(ripple, "low-risk").Line!.Value, 9);
        Assert.Equal(0.2563, Figure(ripple, "low-risk").Value!.Value, 9);
        Assert.Equal(1.0, Figure(ripple, "Stroboscopic").Value!.Value, 1e-3);
        Assert.Contains("T1", Figure(ripple, "Stroboscopic").Metric, StringComparison.Ordinal);
        Assert.Equal(0.2563, Figure(ripple, "under 200 Hz").Value!.Value, 1e-6);
        Assert.Null(Figure(ripple, "PstLM").Value); // nothing slow was seen: no figure, but a bound in words
        Assert.Contains("stays under", Figure(ripple, "PstLM").Remark, StringComparison.Ordinal);
    }

    [Fact]
    public void A_slow_flicker_has_a_severity() =>
        Assert.Equal(1, Figure(TestLights.Sine(8.8, 0.004175, Take), "PstLM").Value!.Value, 0.01);

    [Fact]
    public void What_the_footage_cannot_tell_is_null_with_the_reason()
    {
        LightEstimate unknownShutter = TestLights.Sine(100, 0.3, Take with { ExposureSeconds = null });
        LightEstimate ambiguous = TestLights.Of([TestLights.Tone(100, 0.3) with { State = ComponentState.Ambiguous, CandidatesHz = [100, 125] }], Take);
        Assert.All(RoomView.Of(unknownShutter, StroboscopicThreshold.Cie2016), f => Assert.Null(f.Value));
        Assert.All(RoomView.Of(ambiguous, StroboscopicThreshold.Cie2016), f => Assert.Null(f.Value));
        Assert.Contains("shutter is unknown", Figure(unknownShutter, "Stroboscopic").Remark, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_figure_says_that_it_is_no_compliance_test() =>
        Assert.All(RoomView.Of(TestLights.Sine(100, 0.3, Take), StroboscopicThreshold.Perz2018), f => Assert.Contains("not a compliance test", f.Remark, StringComparison.Ordinal));
}
