using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Verdict;

/// <summary>What a take leaves open when it shows nothing, and what a further one would.</summary>
public class ExpectedTakeTests
{
    private static TakeMeasurement Shot(string format, double limit = 0.002, double slowestHz = 0.05, double? locked = null, double? halfWave = null) => new(
        CameraFormat.Parse(format), 250, 250, new SignalLevel(0.6, 0.7, 0, 0), new Estimate(0.3, 0.2, 0.4), null, limit, slowestHz, locked,
        [new Tone(Estimate.Exactly(5), Estimate.Exactly(2), Estimate.Exactly(0.3), 0, null, [100])], [new Finding("dark", "Too dark.") { ForbidsPass = true }])
    {
        HalfWaveBound = halfWave,
    };

    private static TakeMeasurement At(string format, params TakeMeasurement[] takes) => ExpectedTake.At(CameraFormat.Parse(format), 10, takes);

    [Theory]
    [InlineData(null, null, 0.002)]
    [InlineData(0.03, null, 0.03)]
    [InlineData(null, 0.08, 0.08)]
    [InlineData(0.03, 0.08, 0.08)]
    [InlineData(0.001, null, 0.002)]
    public void A_take_that_showed_nothing_leaves_its_bounds(double? locked, double? halfWave, double depth)
    {
        TakeMeasurement blank = ExpectedTake.Blank(Shot("25@1/250@16ms", locked: locked, halfWave: halfWave));
        Assert.Empty(blank.Tones);
        Assert.Empty(blank.Findings);
        Assert.Equal(Estimate.AtMost(depth), blank.ModulationDepth);
        Assert.Equal(locked is null && halfWave is null ? null : new MovingOnly(Estimate.AtMost(0.002), 0.002), blank.IfNothingStands);
    }

    [Fact]
    public void A_further_take_shows_as_little_as_the_best_so_far_and_beats_as_slow_as_its_length()
    {
        TakeMeasurement next = At("50@1/100", Shot("25@1/250@16ms", limit: 0.004, slowestHz: 0.5), Shot("25@1/100@16ms", limit: 0.003, slowestHz: 0.2));
        Assert.Equal((0.003, 0.1), (next.DetectionLimit, next.SlowestBeatHz));
        Assert.Equal((FrameRate.Parse("50"), 0.01), (next.Take.Rate, next.Take.Exposure!.Seconds));
        Assert.Equal(0.05, At("50@1/100", Shot("25@1/250@16ms", slowestHz: 0.5), Shot("25@1/100@16ms", slowestHz: 0.05)).SlowestBeatHz);
    }

    [Fact]
    public void Its_readout_is_that_of_a_take_at_the_same_rate_else_of_any()
    {
        TakeMeasurement slow = Shot("25@1/250@16ms"), fast = Shot("50@1/250@8ms"), unknown = Shot("25@1/250");
        Assert.Equal(0.008, At("50@1/100", slow, fast).Take.Readout!.Seconds);
        Assert.Equal(0.016, At("25@1/100", fast, slow).Take.Readout!.Seconds);
        Assert.Equal(0.008, At("30@1/100", unknown, fast).Take.Readout!.Seconds);
        Assert.Null(At("30@1/100", unknown).Take.Readout);
    }

    [Fact]
    public void Standing_bands_can_hide_at_any_rate()
    {
        CameraFormat at = CameraFormat.Parse("30@1/250");
        double most = LockedBands.MostVisible(null, 30, at.Exposure);
        // So much as the takes had to leave open, the most of them; else what an ordinary scene does; never more than the shutter lets through.
        Assert.Equal(0.02, At("30@1/250", Shot("25@1/250@16ms", locked: 0.02), Shot("25@1/100@16ms", locked: 0.01)).LockedBound);
        Assert.Equal(0.03, At("30@1/250", Shot("25@1/250@16ms")).LockedBound);
        Assert.Equal(Math.Min(1, most), At("30@1/250", Shot("25@1/250@16ms", locked: 5)).LockedBound);
        Assert.Equal(0.02, At("29.97@1/250", Shot("25@1/250@16ms", locked: 0.02)).LockedBound);
        // What the scene hides at this very rate is known from takes that let as much through.
        Assert.Equal(0.01, At("30@1/250", Shot("25@1/250@16ms", locked: 0.02), Shot("30@1/500@16ms", locked: 0.01)).LockedBound);
        Assert.Null(At("30@1/250", Shot("30@1/500@16ms")).LockedBound);
        Assert.Equal(0.03, At("30@1/250", Shot("30@1/60@16ms")).LockedBound);
        // Below what the take could show they are no bound of their own.
        Assert.Null(At("30@1/250", Shot("25@1/250@16ms", limit: 0.05, locked: 0.02)).LockedBound);
    }

    [Theory] // A lamp on half waves repeats with the mains: 50 Hz stands at 25 and 50, 60 Hz at 30 and 60 frames a second (arithmetic).
    [InlineData("25@1/250", true)]
    [InlineData("50@1/250", true)]
    [InlineData("30@1/250", true)]
    [InlineData("24@1/250", false)]
    [InlineData("100@1/250", false)]
    public void Half_wave_lamps_stand_where_the_rate_divides_the_mains(string format, bool stands)
    {
        Assert.Equal(stands ? 0.1 : null, At(format, Shot("29.97@1/250@16ms")).HalfWaveBound);
        Assert.Equal(stands ? 0.04 : null, At(format, Shot("29.97@1/250@16ms", halfWave: 0.04), Shot("29.97@1/100@16ms", halfWave: 0.03)).HalfWaveBound);
    }

    [Fact]
    public void Under_a_global_shutter_all_that_is_locked_stands()
    {
        CameraFormat at = CameraFormat.Parse("29.97@1/250");
        TakeMeasurement next = At("29.97@1/250", Shot("25@1/250@global", locked: 0.02));
        Assert.Equal(Math.Min(1, LockedBands.MostVisible(null, at.Rate.Hertz, at.Exposure)), next.LockedBound);
        Assert.Null(next.HalfWaveBound);
    }
}
