using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Measurement;

/// <summary>A gap in the light that stays outside a small region through a short clip: nothing is seen, and nothing is passed.</summary>
public class MainsCycleTests
{
    /// <summary>A strip of the wall, a tenth of the picture's height, at 29.97 frames a second: 120 Hz beats at 0.12 Hz.</summary>
    private static SyntheticTake Strip(Waveform light, double seconds, double share = 0.1, string rate = "30000/1001") => new()
    {
        Light = light, Rate = rate, ExposureSeconds = 0.001, ReadoutSeconds = 0.012, Frames = (int)(seconds * Camera.FrameRate.Parse(rate).Hertz), Rows = 48,
        CodedHeight = (int)(48 / share), FirstRow = (int)(24 / share * (1 - share)), RowNoise = 0.0005, Scene = (_, strip, down) => 1 + 0.1 * down + 0.01 * strip,
    };

    private static PulseLight Dimmed(double phase) => new() { FrequencyHz = 120, Duty = 0.93, PhaseCycles = phase };

    [Fact]
    public void No_phase_of_a_gap_passes_however_short_the_clip()
    {
        double[] phases = [.. Enumerable.Range(0, 12).Select(i => i / 12.0)];
        Judged[] all = [.. phases.Select(phase => Judged.Of(Strip(Dimmed(phase), 3)))];
        Assert.All(all, j => Assert.NotEqual(Ruling.Pass, j.At("30000/1001@0.001s@0.012s").Ruling));
        // The trap is there: in some of them nothing at all is seen.
        Assert.Contains(all, j => (j.Take.IfNothingStands?.ModulationDepth ?? j.Take.ModulationDepth!.Value).High < 0.01);
    }

    [Theory]
    [InlineData(3, 0.1, true, Ruling.Watch)]
    [InlineData(6, 0.1, true, Ruling.Watch)]
    [InlineData(10, 0.1, false, Ruling.Watch)] // 1.2 cycles of beat, 0.14 bands, an exposure of 0.12; light in step with 29.97 would stand unseen
    [InlineData(3, 0.7, false, Ruling.Pass)] // 1 band
    public void What_rows_beat_and_exposure_cover_makes_a_cycle(double seconds, double share, bool isShort, Ruling ruling)
    {
        Judged judged = Judged.Of(Strip(new SteadyLight(), seconds, share));
        Assert.Equal(isShort, judged.Forbids(FindingCodes.ShortClip));
        Assert.Equal(ruling, judged.At("30000/1001@0.001s@0.012s").Ruling);
    }

    [Fact]
    public void Beats_that_are_fast_or_stand_still_are_other_checks_affair()
    {
        // 100 Hz beats fast enough everywhere here, and 120 Hz at 50 and 25 frames a second; at 30 it stands still.
        foreach (string rate in new[] { "25", "50", "30" })
            Assert.False(Judged.Of(Strip(new SteadyLight(), 3, rate: rate)).Forbids(FindingCodes.ShortClip));
    }

    [Fact]
    public void How_long_to_shoot_is_said() =>
        Assert.Contains(Judged.Of(Strip(new SteadyLight(), 3)).Take.Findings, f => f.Code == FindingCodes.ShortClip && f.Message.Contains("shoot 8 s or more", StringComparison.Ordinal));
}
