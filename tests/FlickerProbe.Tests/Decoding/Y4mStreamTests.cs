using System.Text;
using FlickerProbe.Files.Decoding;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

/// <summary>Pictures with a line before each must hold what raw video holds; what raw video holds is ffmpeg's own word.</summary>
public sealed class Y4mStreamTests : IDisposable
{
    private const int Pictures = 3;
    private readonly Media _media = new();

    public void Dispose() => _media.Dispose();

    [Theory]
    [InlineData("gray")]
    [InlineData("gray10le")]
    [InlineData("gray12le")]
    [InlineData("gray16le")]
    [InlineData("yuv420p")]
    [InlineData("yuvj420p")]
    [InlineData("yuv422p")]
    [InlineData("yuv444p")]
    [InlineData("yuv411p")]
    [InlineData("yuv420p10le")]
    [InlineData("yuv422p10le")]
    [InlineData("yuv422p12le")]
    [InlineData("yuv420p16le")]
    [InlineData("yuv444p10le")]
    [InlineData("yuv444p16le")]
    public void Holds_the_bytes_of_raw_video(string format)
    {
        int widths = 0;
        foreach (int width in new[] { 62, 63 })
        {
            if (!Y4mStream.Holds(format, width)) continue;
            widths++;
            string clip = _media.At($"{width}.nut");
            Media.Ffmpeg("-f", "lavfi", "-i", FormattableString.Invariant($"testsrc2=s={width}x35:r=25:d=0.12"), "-pix_fmt", format, "-c:v", "rawvideo", clip);
            byte[] raw = Media.FfmpegOutput("-i", clip, "-pix_fmt", format, "-f", "rawvideo", "-");
            byte[] stream = Media.FfmpegOutput(["-i", clip, "-pix_fmt", format, .. Y4mStream.OutputOptions, "-"]);
            byte[] pictures = PicturesOf(stream, raw.Length / Pictures);
            Assert.Equal(raw, pictures);
        }
        Assert.True(widths > 0);
    }

    [Theory]
    [InlineData("nv12")]
    [InlineData("p010le")]
    [InlineData("yuyv422")]
    [InlineData("yuva420p")]
    [InlineData("yuv440p")]
    [InlineData("yuv410p")]
    [InlineData("yuv422p10be")]
    [InlineData("gray16be")]
    [InlineData("gray14le")]
    [InlineData("ya8")]
    [InlineData("gbrp")]
    [InlineData("rgb24")]
    public void Does_not_claim_what_it_has_no_name_for(string format) => Assert.False(Y4mStream.Holds(format, 64));

    [Fact]
    public void Lines_may_say_more_than_their_first_word()
    {
        byte[] stream = [.. "YUV4MPEG2 W2 H1 F25:1 Cmono\nFRAME Ip XNOTE\nabFRAME\ncd"u8];
        Assert.Equal("abcd"u8, PicturesOf(stream, 2));
    }

    [Theory]
    [InlineData("")]
    [InlineData("YUV")]
    [InlineData("YUV4MPEG2 W2 H1")]
    [InlineData("YUV4MPEG2 W2 H1\n")]
    [InlineData("YUV4MPEG2 W2 H1\nFRAM")]
    [InlineData("YUV4MPEG2 W2 H1\nFRAME Ip")]
    public void A_stream_that_breaks_off_has_no_more_pictures(string stream) => Assert.Empty(PicturesOf(Encoding.ASCII.GetBytes(stream), 2));

    [Fact]
    public void Another_stream_is_refused() => Assert.Throws<InvalidDataException>(() => PicturesOf([1, 2, 3, 4, 5, 6, 7, 8], 2));

    /// <summary>The pictures one after the other.</summary>
    private static byte[] PicturesOf(byte[] stream, int pictureBytes)
    {
        int at = 0;
        bool Fill(Span<byte> into)
        {
            if (stream.Length - at < into.Length) return false;
            stream.AsSpan(at, into.Length).CopyTo(into);
            at += into.Length;
            return true;
        }
        var pictures = new List<byte>();
        while (Y4mStream.ReadToPicture(Fill))
        {
            pictures.AddRange(stream.AsSpan(at, pictureBytes));
            at += pictureBytes;
        }
        return [.. pictures];
    }
}
