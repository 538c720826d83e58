using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Traps of the measurement model, 1 to 3: null shutter, locked and nearly locked bands, slow beat.</summary>
public class Traps1to3Tests
{
    private static double Shading(double t, int strip, double down) => 1 + 0.2 * (down - 0.5) * (strip - 2) - 0.3 * down * down;

    [Theory] // 100 Hz at 1/50 s and 1/100 s, 120 Hz at 1/60 s: invisible there, ugly at other shutters.
    [InlineData("29.97", 100, 50)]
    [InlineData("50", 120, 60)]
    [InlineData("29.97", 100, 100)]
    [InlineData("25", 120, 120)]
    [InlineData("30", 1000, 100)] // a dimmer whose tenth period it is
    public void Trap_1_null_shutter(string rate, double hertz, double reciprocal)
    {
        Judged judged = Judged.Of(new SyntheticTake { Light = Waveform.Sine(hertz, 0.3), Rate = rate, ExposureSeconds = 1 / reciprocal, Frames = 150 });

        Assert.Empty(judged.Take.Tones);
        foreach (string shutter in new[] { "1/30", "1/80", "1/250", "1/1000" }) judged.IsHonestAt($"{(shutter == "1/30" ? "25" : rate)}@{shutter}");
        // Where it would show plainly the doubt has its name.
        Assert.Contains(judged.At($"{rate}@1/500").Reasons, r => r.Code == FindingCodes.HiddenAtShutter);
    }

    [Theory] // 0.12 Hz of beat at each: 0.6 cycles in five seconds. 100 Hz with mains a little off at 25 and 50.
    [InlineData("24000/1001", 120, 120)]
    [InlineData("30000/1001", 120, 150)]
    [InlineData("60000/1001", 120, 300)]
    [InlineData("25", 100.09, 125)]
    [InlineData("50", 99.91, 250)]
    public void Trap_2_nearly_locked_bands(string rate, double hertz, int frames)
    {
        var scene = new SyntheticTake { Light = Waveform.Sine(hertz, 0.1, 1), Rate = rate, Frames = frames, Scene = Shading, RowNoise = 0.001, ExposureSeconds = 1 / 500.0 };
        Judged judged = Judged.Of(scene);

        Tone tone = judged.Finds(hertz);
        double onCamera = scene.TrueDepth(scene.ExposureSeconds);
        Assert.Equal(onCamera, tone.Amplitude.Value, 0.05 * onCamera);
        Assert.Equal(hertz, tone.FrequencyHz!.Value.Value, 0.02);
        judged.ClaimsNoneBut(hertz);
        judged.IsHonestAt($"{rate}@1/500");
        judged.IsHonestAt($"{rate}@1/120");
        Assert.Equal(Ruling.Fail, judged.At($"{rate}@1/500").Ruling);
    }

    [Theory]
    [InlineData("25", 100, 0.2, 500)]
    [InlineData("25", 100, 0.02, 500)]
    [InlineData("50", 100, 0.1, 500)]
    [InlineData("25", 1000, 0.3, 4000)]
    [InlineData("25", 1000, 0.02, 4000)]
    [InlineData("30", 120, 0.1, 500)]
    public void Trap_2_exactly_locked_bands(string rate, double hertz, double depth, double reciprocal)
    {
        var scene = new SyntheticTake { Light = Waveform.Sine(hertz, depth, 0.4), Rate = rate, Scene = Shading, ExposureSeconds = 1 / reciprocal, Frames = 100 };
        Judged judged = Judged.Of(scene);

        Assert.Empty(judged.Take.Tones); // nothing moves
        Assert.True(judged.Warns(FindingCodes.LockedBands));
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt(FormattableString.Invariant($"{rate}@1/{reciprocal}")).Ruling);
        judged.IsHonestAt("29.97@1/500");
        judged.IsHonestAt($"{rate}@1/250");
    }

    [Theory]
    [InlineData(0.02)]
    [InlineData(0.3)]
    public void Trap_2_the_bound_on_locked_bands_covers_them(double depth)
    {
        var scene = new SyntheticTake { Light = Waveform.Sine(1000, depth, 0.4), Rate = "25", Scene = Shading, ExposureSeconds = 1 / 4000.0, Frames = 100 };
        TakeMeasurement take = Judged.Of(scene).Take;
        double onCamera = scene.TrueDepth(scene.ExposureSeconds);
        Assert.InRange(take.LockedBound!.Value, onCamera, 1);
        Assert.InRange(take.ModulationDepth!.Value.High, onCamera, 1);
    }

    [Fact]
    public void Trap_2_a_second_frame_rate_moves_locked_bands()
    {
        var locked = new SyntheticTake { Light = Waveform.Sine(100, 0.1), Rate = "25", ExposureSeconds = 1 / 500.0, Scene = Shading };
        Judged judged = Judged.Of(locked with { Rate = "30000/1001", Frames = 150 }, locked);
        judged.Finds(100);
        Assert.Equal(Ruling.Fail, judged.IsHonestAt("25@1/500").Ruling);
    }

    [Theory]
    [InlineData("60000/1001", 120, 4)] // half a cycle
    [InlineData("60000/1001", 120, 2)] // a quarter
    [InlineData("30000/1001", 120, 1.3)] // a sixth
    public void Trap_3_slow_beat(string rate, double hertz, double seconds)
    {
        FlickerProbe.Camera.FrameRate frames = FlickerProbe.Camera.FrameRate.Parse(rate);
        foreach (double depth in new[] { 0.3, 0.06 })
        {
            Judged judged = Judged.Of(new SyntheticTake { Light = Waveform.Sine(hertz, depth), Rate = rate, Frames = (int)(seconds * frames.Hertz), ExposureSeconds = 1 / 500.0, Scene = Shading });

            // Found, or the shortest beat that the clip can show is stated to be faster than this one.
            Assert.True(judged.Take.Tones.Count > 0 || judged.Take.SlowestBeatHz > 120 / 1001.0);
            judged.IsHonestAt($"{rate}@1/500");
            judged.IsHonestAt("25@1/500");
        }
    }

    [Fact]
    public void Trap_3_the_slowest_beat_stated_gets_slower_with_the_clip()
    {
        double[] slowest = [.. new[] { 50, 125, 400 }.Select(n => Judged.Of(new SyntheticTake { Frames = n, Rows = 48 }).Take.SlowestBeatHz)];
        Assert.True(slowest[0] > slowest[1] && slowest[1] > slowest[2]);
        Assert.InRange(slowest[2], 0.001, 0.1);
    }
}
