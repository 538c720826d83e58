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

    [Fact]
    public void One_take_with_a_known_shutter_is_enough()
    {
        LightEstimate light = TestLights.Sine(100, 0.3, Take with { ExposureSeconds = null }, Take);
        Assert.Equal(0.3, Figure(light, "low-risk").Value!.Value, 9);
        Assert.NotNull(Figure(light, "Stroboscopic").Value);
    }

    [Fact]
    public void One_frequency_in_doubt_leaves_every_figure_open()
    {
        LightEstimate light = TestLights.Of([TestLights.Tone(100, 0.3), TestLights.Tone(400, 0.05, group: 2) with { State = ComponentState.Ambiguous, CandidatesHz = [400, 425] }], Take);
        Assert.All(RoomView.Of(light, StroboscopicThreshold.Cie2016), f => Assert.Null(f.Value));
        Assert.All(["low-risk", "Stroboscopic", "PstLM", "under 200 Hz"], name =>
            Assert.Equal($"{RoomView.NotATest} Several frequencies fit what was seen; the figure needs the true one.", Figure(light, name).Remark));
    }

    [Fact]
    public void The_fundamental_is_what_the_limits_are_held_against()
    {
        LightEstimate light = TestLights.Of([TestLights.Tone(200, 0.1, harmonic: 2), TestLights.Tone(100, 0.3), TestLights.Tone(333, 0.2, group: 2)], Take);
        Assert.Equal(0.3, Figure(light, "low-risk").Value!.Value, 9);
        Assert.Equal(0.3, Figure(light, "no-observable-effect").Value!.Value, 9);
        Assert.Equal(Ieee1789.NoObservableEffect(100)!.Value, Figure(light, "no-observable-effect").Line!.Value, 9);
        Assert.Contains("Held against the fundamental at 100 Hz alone; overtones are left out.", Figure(light, "low-risk").Remark, StringComparison.Ordinal);
        // One that is of no series is its own fundamental.
        Assert.Equal(0.2, Figure(TestLights.Of([TestLights.Tone(333, 0.2, group: null, harmonic: null)], Take), "low-risk").Value!.Value, 9);

        RoomFigure overtonesAlone = Figure(TestLights.Of([TestLights.Tone(200, 0.1, harmonic: 2)], Take), "low-risk");
        Assert.Null(overtonesAlone.Value);
        Assert.Null(overtonesAlone.Line);
        Assert.Equal($"{RoomView.NotATest} No modulation was seen that it could be applied to.", overtonesAlone.Remark);
    }

    [Fact]
    public void The_threshold_of_the_stroboscopic_measure_is_named_and_used()
    {
        LightEstimate light = TestLights.Sine(100, 0.3, Take);
        RoomFigure first = RoomView.Of(light, StroboscopicThreshold.Cie2016)[2], second = RoomView.Of(light, StroboscopicThreshold.Perz2018)[2];
        Assert.Equal("Stroboscopic visibility measure, threshold T1 (CIE TN 006:2016)", first.Metric);
        Assert.Equal("Stroboscopic visibility measure, threshold T2 (Perz et al. 2018)", second.Metric);
        Assert.True(Math.Abs(first.Value!.Value - second.Value!.Value) > 1e-3);
        Assert.Equal(0.4, first.Line);
        Assert.EndsWith("Tones that the takes could not show are left out.", first.Remark, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_the_cut_offs_200_Hz_alone_has_a_line()
    {
        RoomFigure[] cutOffs = [.. RoomView.Of(TestLights.Sine(100, 0.25, Take), StroboscopicThreshold.Cie2016).Where(f => f.Metric.StartsWith("Percent amplitude", StringComparison.Ordinal))];
        Assert.Equal(AmplitudeModulation.CutOffsHz.Count, cutOffs.Length);
        Assert.All(cutOffs, f => Assert.Equal(f.Metric.EndsWith(" 200 Hz", StringComparison.Ordinal) ? 0.30 : null, f.Line));
        Assert.All(cutOffs, f => Assert.Equal(f.Line is not null, f.Source.Contains("JA8", StringComparison.Ordinal)));
        Assert.All(cutOffs, f => Assert.Contains("20 000 samples a second", f.Remark, StringComparison.Ordinal));
    }

    [Theory] // The measure of slow flicker ends at 80 Hz: IEC 61000-4-15's chain, weighting up to 35 Hz and little beyond.
    [InlineData(79.9, true)]
    [InlineData(80, false)]
    public void Slow_is_what_lies_under_80_Hz(double hz, bool slow)
    {
        RoomFigure figure = Figure(TestLights.Of([TestLights.Tone(hz, 0.3, group: 2), TestLights.Tone(300, 0.1)], Take), "PstLM");
        Assert.Equal(slow, figure.Value is not null);
        Assert.Contains(slow ? "From the tones seen, taken as steady; good to ± 6 %" : "Nothing slower than 80 Hz was seen", figure.Remark, StringComparison.Ordinal);
        Assert.EndsWith("Dimming steps and mains disturbances over minutes are not in a short clip.", figure.Remark, StringComparison.Ordinal);
    }

    [Fact]
    public void The_best_take_says_what_slow_flicker_may_be_left()
    {
        BlindSpot dull = TestLights.Take("25", 1 / 1000.0, 0.01);
        double best = ShortTermFlicker.OfLight([(8.8, Take.LimitAtAnyRate, 0)], 10), worst = ShortTermFlicker.OfLight([(8.8, dull.LimitAtAnyRate, 0)], 10);
        Assert.True(worst > 2 * best);
        Assert.Contains(FormattableString.Invariant($"stays under about {best:0.##}."), Figure(TestLights.Sine(300, 0.1, dull, Take), "PstLM").Remark, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"could add up to {best:0.##}."), Figure(TestLights.Sine(20, 0.1, Take, dull), "PstLM").Remark, StringComparison.Ordinal);
        // Without any take it may be all of the light.
        Assert.Contains(FormattableString.Invariant($"stays under about {ShortTermFlicker.OfLight([(8.8, 1, 0)], 10):0.##}."), Figure(TestLights.Sine(300, 0.1), "PstLM").Remark, StringComparison.Ordinal);
    }
}
