using FlickerProbe.Files.Decoding;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

public class SampleUnpackingTests
{
    [Fact]
    public void P010_keeps_its_code_in_the_high_bits()
    {
        // libavutil/pixfmt.h: "like NV12, with 10bpp per component, data in the high bits, zeros in the low bits".
        PixelLayout pixels = PixelLayout.Find("p010le")!;
        Assert.Equal((10, 2, 1, 1), (pixels.Depth, pixels.SampleBytes, pixels.DifferenceColumnShift, pixels.DifferenceRowShift));
        Assert.Equal([64, 940, 1023], SampleUnpacking.Words([64 << 6, 940 << 6, 1023 << 6], pixels.Channels[0], false, new ushort[3]).ToArray());
        Assert.Equal([512, 700], SampleUnpacking.Words([1 << 6, 512 << 6, 2 << 6, 700 << 6], pixels.Channels[2], false, new ushort[2]).ToArray());
    }

    [Fact]
    public void Swaps_bytes_and_picks_every_nth()
    {
        Assert.Equal([0x1234, 0xABCD], SampleUnpacking.Words([0, 0x3412, 0, 0xCDAB], new ChannelPlace(0, 1, 2), true, new ushort[2]).ToArray());
        Assert.Equal([2, 5], SampleUnpacking.Bytes([1, 2, 3, 4, 5, 6], new ChannelPlace(0, 1, 3), new byte[2]).ToArray());
    }

    [Theory]
    [InlineData("monob"), InlineData("rgb565le"), InlineData("grayf32le"), InlineData("bayer_rggb8"), InlineData("xyz12le"), InlineData("vaapi"), InlineData("yuv420p11le"), InlineData("")]
    public void Formats_that_cannot_be_read_unaltered_are_not_accepted(string name) => Assert.Null(PixelLayout.Find(name));
}
