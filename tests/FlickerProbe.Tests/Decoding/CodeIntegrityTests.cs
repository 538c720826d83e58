using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

/// <summary>Codes must reach the sampler as they were recorded: every code of a ramp, in every kind of storage.</summary>
public sealed class CodeIntegrityTests : IDisposable
{
    private const int Width = 66, Height = 20, Frames = 3;
    private readonly Media _media = new();

    public void Dispose() => _media.Dispose();

    /// <summary>Pixel format, depth, container and how it is encoded, whether full range, expected range of the probe.</summary>
    public static TheoryData<string, int, string, string, SignalRange> LumaStorage => new()
    {
        { "yuv420p", 8, "a.mkv", "-c:v ffv1 -color_range tv", SignalRange.Limited },
        { "yuv420p", 8, "b.mkv", "-c:v ffv1", SignalRange.Limited },
        { "yuv420p", 8, "c.mkv", "-c:v ffv1 -color_range pc", SignalRange.Full },
        { "yuv420p", 8, "c2.mp4", "-c:v libx264 -qp 0 -color_range tv", SignalRange.Limited },
        { "yuvj420p", 8, "d.mp4", "-c:v libx264 -qp 0 -color_range pc", SignalRange.Full },
        { "nv12", 8, "e.nut", "-c:v rawvideo", SignalRange.Limited },
        { "nv21", 8, "e2.nut", "-c:v rawvideo", SignalRange.Limited },
        { "yuv410p", 8, "f.nut", "-c:v rawvideo", SignalRange.Limited },
        { "yuv411p", 8, "g.nut", "-c:v rawvideo", SignalRange.Limited },
        { "yuv440p", 8, "h.mkv", "-c:v ffv1", SignalRange.Limited },
        { "yuva420p", 8, "i.mkv", "-c:v ffv1", SignalRange.Limited },
        { "yuyv422", 8, "j.nut", "-c:v rawvideo", SignalRange.Limited },
        { "uyvy422", 8, "k.nut", "-c:v rawvideo", SignalRange.Limited },
        { "yvyu422", 8, "l.nut", "-c:v rawvideo", SignalRange.Limited },
        { "gray", 8, "m.mkv", "-c:v ffv1", SignalRange.Limited },
        { "gray", 8, "n.png", "-c:v png -frames:v 1", SignalRange.Full },
        { "ya8", 8, "o.png", "-c:v png -frames:v 1", SignalRange.Full },
        { "gray16be", 16, "p.png", "-c:v png -frames:v 1", SignalRange.Full },
        { "yuv420p10le", 10, "q.mkv", "-c:v ffv1 -color_range tv", SignalRange.Limited },
        { "yuv420p10le", 10, "r.mkv", "-c:v ffv1 -color_range pc", SignalRange.Full },
        { "yuv422p10le", 10, "s.mkv", "-c:v ffv1 -color_range tv", SignalRange.Limited },
        { "yuv422p10le", 10, "s2.mov", "-c:v v210", SignalRange.Limited },
        { "yuv422p10be", 10, "s3.nut", "-c:v rawvideo", SignalRange.Limited },
        { "yuv420p12le", 12, "u.mkv", "-c:v ffv1", SignalRange.Limited },
        { "yuv444p12le", 12, "v.mkv", "-c:v ffv1 -color_range tv", SignalRange.Limited },
        { "yuv422p16le", 16, "w.mkv", "-c:v ffv1", SignalRange.Limited },
        { "gray10le", 10, "x.mkv", "-c:v ffv1", SignalRange.Limited },
    };

    [Theory]
    [MemberData(nameof(LumaStorage))]
    public void Luma_codes_reach_the_sampler_unaltered(string format, int depth, string name, string encoder, SignalRange range)
    {
        PixelLayout pixels = PixelLayout.Find(format)!;
        Assert.Equal(depth, pixels.Depth);
        int[][] luma = Ramp(depth, Frames);
        // The serial interface keeps codes 0-3 and 1020-1023 for timing, and so does this codec.
        if (encoder.EndsWith("v210", StringComparison.Ordinal)) luma = [.. luma.Select(frame => frame.Select(code => Math.Clamp(code, 4, 1019)).ToArray())];
        string path = _media.Encoded(name, format, Width, Height, Store(pixels, luma), encoder.Split(' '));

        ClipInfo info = ClipProbe.Probe(path);
        Assert.Equal(format, info.Pixels.Name);
        Assert.Equal(range, info.Range);
        // Off the grid of colour difference on every side.
        var region = new Region(1, 3, Width - 6, Height - 6);
        SampledTake take = Sample(info, region, colour: false);
        Assert.Equal(name.EndsWith("png", StringComparison.Ordinal) ? 1 : Frames, take.Traces.Frames);
        AssertRowMeans(take.Traces, region, luma, new SignalScale(range, depth));
        Assert.Equal(3, take.Traces.FirstCodedRow);
        Assert.Equal(Height, take.Traces.CodedHeight);
    }

    [Theory]
    [InlineData("yuv420p", "a.mkv", "-c:v ffv1 -color_range tv")]
    [InlineData("yuv422p10le", "b.mkv", "-c:v ffv1 -color_range tv")]
    [InlineData("nv12", "c.nut", "-c:v rawvideo")]
    [InlineData("yuv444p12le", "d.mkv", "-c:v ffv1 -color_range pc")]
    public void Luma_is_the_same_when_colour_is_read_beside_it(string format, string name, string encoder)
    {
        PixelLayout pixels = PixelLayout.Find(format)!;
        int[][] luma = Ramp(pixels.Depth, Frames);
        string path = _media.Encoded(name, format, Width, Height, Store(pixels, luma), encoder.Split(' '));
        var region = new Region(3, 5, 41, 9);
        ClipInfo info = ClipProbe.Probe(path);
        AssertRowMeans(Sample(info, region, colour: true).Traces, region, luma, info.Scale);
    }

    /// <summary>Format, container, encoder.</summary>
    public static TheoryData<string, string, string> RgbStorage => new()
    {
        { "rgb24", "a.png", "-c:v png -frames:v 1" },
        { "rgba", "b.png", "-c:v png -frames:v 1" },
        { "rgb48be", "c.png", "-c:v png -frames:v 1" },
        { "bgr24", "d.bmp", "-c:v bmp -frames:v 1" },
        { "gbrp", "e.mkv", "-c:v utvideo" },
        { "gbrp10le", "f.mkv", "-c:v ffv1" },
        { "gbrp12le", "g.mkv", "-c:v ffv1" },
        { "gbrap", "h.mkv", "-c:v utvideo" },
        { "bgr0", "i.mkv", "-c:v ffv1" },
        { "bgra", "j.mkv", "-c:v ffv1" },
        { "rgb24", "k.nut", "-c:v rawvideo" },
        { "argb", "l.nut", "-c:v rawvideo" },
        { "gbrp", "m.mp4", "-c:v libx264rgb -qp 0" },
    };

    [Theory]
    [MemberData(nameof(RgbStorage))]
    public void Rgb_codes_become_luminance_after_the_curve_not_before(string format, string name, string encoder)
    {
        bool still = encoder.Contains("frames:v", StringComparison.Ordinal);
        string stored = name == "m.mp4" ? "bgr24" : format;
        PixelLayout pixels = PixelLayout.Find(stored)!;
        int frames = still ? 1 : Frames;
        int[][][] channels = [Ramp(pixels.Depth, frames, 0), Ramp(pixels.Depth, frames, 7), Ramp(pixels.Depth, frames, 29)];
        string path = _media.Encoded(name, stored, Width, Height, Store(pixels, channels), encoder.Split(' '));
        ClipInfo info = ClipProbe.Probe(path);
        Assert.Equal(format, info.Pixels.Name);
        Assert.Equal(SignalRange.Full, info.Range);

        var region = new Region(1, 3, Width - 6, Height - 6);
        var request = new ClipRequest([region]) { Transfer = TransferFunction.Srgb, WantStill = false, Colour = true };
        SampledRegion sampled = ClipReader.Read(info, request).Regions[0];
        double[] shares = [0.2126, 0.7152, 0.0722]; // Recommendation ITU-R BT.709-6, item 3.2
        RowTraces traces = sampled.Take.Traces;
        for (int frame = 0; frame < frames; frame++)
        {
            for (int row = 0; row < region.Height; row++)
            {
                double luminance = 0;
                for (int channel = 0; channel < 3; channel++)
                {
                    double light = 0;
                    for (int x = 0; x < region.Width; x++)
                        light += TransferFunction.Srgb.ToLinear(channels[channel][frame][(row + region.Y) * Width + x + region.X] / (double)info.Scale.LargestCode) / region.Width;
                    luminance += shares[channel] * light;
                    Assert.Equal(light, MeanOfStrips(sampled.Channels![channel].Traces, frame, row, region.Width), 1e-6);
                }
                Assert.Equal(luminance, MeanOfStrips(traces, frame, row, region.Width), 1e-6);
            }
        }
    }

    [Fact]
    public void A_palette_is_looked_up_without_loss()
    {
        string path = _media.At("pal.png");
        int[][] grey = Ramp(8, 1);
        string source = _media.Encoded("grey.png", "gray", Width, Height, Store(PixelLayout.Find("gray")!, grey), "-c:v", "png", "-frames:v", "1");
        Media.Ffmpeg("-i", source, "-vf", "split[a][b];[a]palettegen=reserve_transparent=0[p];[b][p]paletteuse=dither=none", "-pix_fmt", "pal8", path);
        ClipInfo info = ClipProbe.Probe(path);
        Assert.Equal("pal8", info.Pixels.Name);
        byte[] rgb = Media.FfmpegOutput("-i", path, "-pix_fmt", "rgb24", "-f", "rawvideo", "-");
        RowTraces traces = Sample(info, new Region(0, 0, Width, Height), false).Traces;
        for (int row = 0; row < Height; row++)
        {
            double expected = 0;
            for (int x = 0; x < Width; x++)
            {
                int at = 3 * (row * Width + x);
                expected += (0.2126 * rgb[at] + 0.7152 * rgb[at + 1] + 0.0722 * rgb[at + 2]) / 255 / Width;
            }
            Assert.Equal(expected, MeanOfStrips(traces, 0, row, Width), 1e-6);
        }
    }

    [Fact]
    public void A_jpeg_gives_the_luma_that_its_decoder_made()
    {
        string path = _media.At("photo.jpg");
        Media.Ffmpeg("-f", "lavfi", "-i", "testsrc2=s=66x44", "-frames:v", "1", "-pix_fmt", "yuvj420p", "-q:v", "3", path);
        byte[] planes = Media.FfmpegOutput("-i", path, "-f", "rawvideo", "-"); // its own format: no conversion
        ClipInfo info = ClipProbe.Probe(path);
        Assert.Equal(("yuvj420p", true, TransferFunction.Srgb, false), (info.Pixels.Name, info.IsStill, info.Transfer, info.TransferAssumed));
        RowTraces traces = Sample(info, new Region(0, 0, 66, 44), false).Traces;
        for (int row = 0; row < 44; row++)
            Assert.Equal(planes.Skip(row * 66).Take(66).Average(code => code / 255.0), MeanOfStrips(traces, 0, row, 66), 1e-6);
    }

    [Fact]
    public void The_frame_stream_hands_out_the_same_codes()
    {
        int[][] luma = Ramp(10, Frames);
        string path = _media.Encoded("s.mkv", "yuv422p10le", Width, Height, Store(PixelLayout.Find("yuv422p10le")!, luma), "-c:v", "ffv1");
        using FrameStream frames = FrameStream.Open(ClipProbe.Probe(path), transfer: TransferFunction.Linear);
        float[] light = new float[Width];
        int read = 0;
        for (; frames.Next(); read++)
        {
            for (int row = 0; row < Height; row++)
            {
                Assert.Equal(luma[read].Skip(row * Width).Take(Width), frames.WordRow(row).ToArray().Select(code => (int)code));
                frames.Light(row, light);
                Assert.Equal((luma[read][row * Width + 5] - 64) / 876.0, light[5], 1e-6);
            }
        }
        Assert.Equal(Frames, read);
    }

    private static SampledTake Sample(ClipInfo info, Region region, bool colour) =>
        ClipReader.Read(info, new ClipRequest([region]) { Transfer = TransferFunction.Linear, Colour = colour, WantStill = false }).Regions[0].Take;

    /// <summary>Row means by the plainest loop there is, over the codes that were stored.</summary>
    private static void AssertRowMeans(RowTraces traces, Region region, int[][] luma, SignalScale scale)
    {
        for (int frame = 0; frame < traces.Frames; frame++)
        {
            for (int row = 0; row < region.Height; row++)
            {
                for (int strip = 0; strip < traces.Strips; strip++)
                {
                    int from = region.Width * strip / traces.Strips, to = region.Width * (strip + 1) / traces.Strips;
                    double expected = 0;
                    for (int x = from; x < to; x++) expected += scale.LevelOf(luma[frame][(row + region.Y) * Width + x + region.X]) / (to - from);
                    Assert.Equal(expected, traces.Strip(strip)[frame * traces.Rows + row], 1e-6);
                }
            }
        }
    }

    private static double MeanOfStrips(RowTraces traces, int frame, int row, int width)
    {
        double sum = 0;
        for (int strip = 0; strip < traces.Strips; strip++)
            sum += (double)traces.Strip(strip)[frame * traces.Rows + row] * (width * (strip + 1) / traces.Strips - width * strip / traces.Strips);
        return sum / width;
    }

    /// <summary>Every code of the depth in turn, or as many as fit, in another order each frame: none is left out or doubled by luck.</summary>
    private static int[][] Ramp(int depth, int frames, int start = 0) =>
        [.. Enumerable.Range(0, frames).Select(frame => Enumerable.Range(0, Width * Height).Select(n =>
            (int)(((long)n * (depth == 8 ? 1 : 4099) + start * 97 + frame * 31) % (1 << depth))).ToArray())];

    private static byte[] Store(PixelLayout pixels, int[][] luma) => Store(pixels, [luma]);

    /// <summary>Lays codes out in memory by the format's own description in libavutil; channels not given get a ramp of their own.</summary>
    private static byte[] Store(PixelLayout pixels, int[][][] channels)
    {
        using var all = new MemoryStream();
        for (int frame = 0; frame < channels[0].Length; frame++)
        {
            for (int plane = 0; plane < pixels.PlaneSamplesPerPixel.Count; plane++)
            {
                bool difference = plane is 1 or 2 && pixels.Model == ColourModel.LumaAndDifference;
                int columns = difference ? (Width + (1 << pixels.DifferenceColumnShift) - 1) >> pixels.DifferenceColumnShift : Width;
                int rows = difference ? (Height + (1 << pixels.DifferenceRowShift) - 1) >> pixels.DifferenceRowShift : Height;
                int[] samples = [.. Enumerable.Range(0, columns * rows * pixels.PlaneSamplesPerPixel[plane]).Select(n => n * 37 % 251 << (pixels.SampleBytes == 2 ? Math.Max(0, pixels.Depth - 8) : 0))];
                for (int channel = 0; channel < channels.Length; channel++)
                {
                    ChannelPlace place = pixels.Channels[channel];
                    if (place.Plane != plane) continue;
                    for (int n = 0; n < Width * Height; n++) samples[n * place.Stride + place.Offset] = channels[channel][frame][n] << place.Shift;
                }
                foreach (int sample in samples)
                {
                    if (pixels.SampleBytes == 1)
                    {
                        all.WriteByte((byte)sample);
                        continue;
                    }
                    all.WriteByte((byte)(pixels.BigEndian ? sample >> 8 : sample));
                    all.WriteByte((byte)(pixels.BigEndian ? sample : sample >> 8));
                }
            }
        }
        return all.ToArray();
    }
}
