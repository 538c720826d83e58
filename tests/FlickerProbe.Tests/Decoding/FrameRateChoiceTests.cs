using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

public sealed class FrameRateChoiceTests : IDisposable
{
    private readonly Media _media = new();

    public void Dispose() => _media.Dispose();

    private static readonly FrameRate Ntsc = FrameRate.FromRational(30000, 1001);

    [Fact]
    public void A_steady_clip_keeps_the_rate_it_states() =>
        Assert.Equal(Ntsc, FrameRateChoice.Choose(Ntsc, Ntsc, Times(100, Ntsc.PeriodSeconds), 1 / 30000.0));

    [Fact]
    public void Millisecond_stamps_still_give_the_exact_rate() =>
        Assert.Equal(Ntsc, FrameRateChoice.Choose(FrameRate.FromRational(2997, 100), null, [.. Times(300, Ntsc.PeriodSeconds).Select(t => Math.Round(t, 3))], 0.001));

    [Fact]
    public void Jitter_and_dropped_frames_do_not_hide_the_sensors_rate()
    {
        var random = new Random(7);
        double[] times = [.. Times(600, 1 / 29.97002997).Where((_, n) => n % 41 != 7).Select(t => t + 0.002 * (random.NextDouble() - 0.5)).Order()];
        FrameRate? rate = FrameRateChoice.Choose(FrameRate.FromRational(120, 1), FrameRate.FromRational(92700, 3607), times, 1 / 90000.0);
        Assert.Equal(Ntsc, rate);
    }

    [Fact]
    public void A_sensor_that_runs_at_its_own_rate_is_believed()
    {
        // 29.83 frames/s is no common rate; the clip's own statement agrees with its stamps.
        FrameRate own = FrameRate.FromRational(179, 6);
        Assert.Equal(own, FrameRateChoice.Choose(own, own, Times(1189, own.PeriodSeconds), 1 / 11456.0));
        // Nobody states it: measured to a millionth.
        Assert.Equal(29.83333, FrameRateChoice.Choose(null, null, Times(1189, own.PeriodSeconds), 1e-6)!.Hertz, 1e-5);
    }

    [Fact]
    public void A_field_rate_is_not_taken_for_a_frame_rate() =>
        Assert.Equal(FrameRate.FromRational(25, 1), FrameRateChoice.Choose(FrameRate.FromRational(50, 1), FrameRate.FromRational(25, 1), Times(50, 0.04), 1 / 90000.0));

    [Fact]
    public void Without_stamps_the_stream_is_believed_and_without_anything_nothing_is_said()
    {
        Assert.Equal(Ntsc, FrameRateChoice.Choose(Ntsc, null, null, 0));
        Assert.Null(FrameRateChoice.Choose(null, null, null, 0));
        Assert.Null(FrameRateChoice.Choose(null, null, [0, 0, 0, 0], 0.001));
    }

    [Fact]
    public void A_variable_rate_clip_keeps_every_frame_and_its_time()
    {
        string path = _media.At("vfr.mkv");
        Media.Ffmpeg("-f", "lavfi", "-i", "testsrc2=s=64x48:r=30:d=2,select='not(eq(mod(n,7),3))'", "-fps_mode", "passthrough", "-c:v", "ffv1", path);
        ClipInfo info = ClipProbe.Probe(path);
        SampledTake take = ClipReader.Read(info, new ClipRequest([new Region(0, 0, 64, 48)]) { WantStill = false }).Regions[0].Take;
        double[] expected = [.. Enumerable.Range(0, 60).Where(n => n % 7 != 3).Select(n => n / 30.0)];
        Assert.Equal(expected.Length, take.Traces.Frames);
        Assert.Equal(FrameRate.FromRational(30, 1), take.Rate);
        for (int n = 0; n < expected.Length; n++) Assert.Equal(expected[n], take.Times.Seconds![n], 0.00051);
        Assert.Equal(expected.Length, take.Traits.FrameBytes.Length);
    }

    [Fact]
    public void Key_frames_are_known_in_the_order_they_are_shown_in()
    {
        string path = _media.At("keys.mp4");
        Media.Ffmpeg("-f", "lavfi", "-i", "testsrc2=s=64x48:r=25:d=2", "-c:v", "libx264", "-g", "12", "-sc_threshold", "0", "-bf", "2", path);
        ClipInfo info = ClipProbe.Probe(path);
        SampledTake take = ClipReader.Read(info, new ClipRequest([new Region(0, 0, 64, 48)]) { WantStill = false }).Regions[0].Take;
        Assert.Equal([0, 12, 24, 36, 48], Enumerable.Range(0, take.Traces.Frames).Where(n => take.Traits.IsKeyFrame[n]));
        Assert.Equal([0, 0.48, 0.96, 1.44, 1.92], info.KeySeconds.Select(s => Math.Round(s, 6)));
        Assert.Equal([0, 12], TakeCut.Cut(take, 24, 20).Traits.IsKeyFrame.Index().Where(k => k.Item).Select(k => k.Index));
    }

    private static double[] Times(int count, double period) => [.. Enumerable.Range(0, count).Select(n => n * period)];
}
