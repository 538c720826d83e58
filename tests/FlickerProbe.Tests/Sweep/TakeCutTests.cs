using FlickerProbe.Footage;

namespace FlickerProbe.Tests.Sweep;

public class TakeCutTests
{
    [Fact]
    public void A_cut_holds_exactly_its_frames()
    {
        SampledTake whole = new SyntheticSweep().Make();
        SampledTake part = TakeCut.Cut(whole, 100, 50);
        Assert.Equal(50, part.Traces.Frames);
        Assert.True(part.Traces.Strip(0).SequenceEqual(whole.Traces.Strip(0).Slice(100 * whole.Traces.Rows, 50 * whole.Traces.Rows)));
        Assert.Equal(0, part.Times.Seconds![0]);
        Assert.Equal(49 / 25.0, part.Times.Seconds[^1], 12);
        Assert.Equal(1100, part.Traits.FrameBytes[0]);
        Assert.True(float.IsNaN(part.Traits.UnchangedShareByFrame[0]));
        Assert.Equal(101 / (float)whole.Traces.Frames, part.Traits.UnchangedShareByFrame[1]);
        Assert.Equal(whole.Traits.BitsPerPixel!.Value * 1124.5 / (1000 + (whole.Traces.Frames - 1) / 2.0), part.Traits.BitsPerPixel!.Value, 9);
    }

    [Fact]
    public void A_cut_beyond_the_end_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => TakeCut.Cut(new SyntheticSweep().Make(), 400, 100));
}
