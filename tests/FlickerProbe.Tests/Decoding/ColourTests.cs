using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

public sealed class ColourTests : IDisposable
{
    private readonly Media _media = new();

    public void Dispose() => _media.Dispose();

    [Theory]
    // Colour bars at 75 %, 10-bit codes Y, Cb, Cr and their R′, G′, B′: Recommendation ITU-R BT.709 bars as coded in SMPTE RP 219 / EG 1 practice;
    // recomputed from BT.709-6 items 3.2 to 3.4 and 5.
    [InlineData(721, 512, 512, 0.75, 0.75, 0.75)]
    [InlineData(674, 176, 543, 0.75, 0.75, 0)]
    [InlineData(581, 589, 176, 0, 0.75, 0.75)]
    [InlineData(534, 253, 207, 0, 0.75, 0)]
    [InlineData(251, 771, 817, 0.75, 0, 0.75)]
    [InlineData(204, 435, 848, 0.75, 0, 0)]
    [InlineData(111, 848, 481, 0, 0, 0.75)]
    public void Bars_come_out_as_their_red_green_and_blue(int y, int cb, int cr, double red, double green, double blue)
    {
        string path = Flat("bars.mkv", "yuv422p10le", y, cb, cr, "-c:v", "ffv1", "-color_range", "tv", "-colorspace", "bt709", "-color_trc", "bt709", "-color_primaries", "bt709");
        ClipInfo info = ClipProbe.Probe(path);
        Assert.Equal((TransferFunction.Bt709, false), (info.Transfer, info.TransferAssumed));
        SampledRegion sampled = ClipReader.Read(info, new ClipRequest([new Region(3, 1, 33, 13)]) { Colour = true, WantStill = false }).Regions[0];
        double[] levels = [red, green, blue];
        for (int channel = 0; channel < 3; channel++)
        {
            double light = sampled.Channels![channel].Traces.Strip(0)[0];
            Assert.Equal(TransferFunction.Bt709.ToLinear(levels[channel]), light, 0.003);
            Assert.Equal(levels[channel], sampled.Channels[channel].Level.Mean, 0.003);
        }
    }

    /// <summary>Noise in luma alone, as cameras leave it that smooth colours: it does not smooth the steps of colour difference, of which one is 1.86 of blue and 1.57 of red
    /// (Recommendation ITU-R BT.709-6, items 3.3 and 4.6: B′ = Y′ + 1.8556 Cb, R′ = Y′ + 1.5748 Cr, 219 and 224 codes).</summary>
    [Theory]
    [InlineData(0, 0, 0.3)]
    [InlineData(20, 1, 12)]
    public void The_noise_of_colour_difference_is_its_own(int strength, double least, double most)
    {
        string path = _media.At("quiet.mkv");
        Media.Ffmpeg("-f", "lavfi", "-i", FormattableString.Invariant($"color=c=0x909090:s=96x48:r=25:d=0.4,format=yuv420p,noise=c0s=20:c0f=t:c1s={strength}:c1f=t:c2s={strength}:c2f=t"),
            "-c:v", "ffv1", "-color_range", "tv", "-colorspace", "bt709", "-color_trc", "bt709", "-color_primaries", "bt709", path);
        SampledRegion sampled = ClipReader.Read(path, new ClipRequest([new Region(0, 0, 96, 48)]) { Colour = true, WantStill = false }).Regions[0];

        Assert.Null(sampled.Take.Traits.RoundingNoiseCodes);
        Assert.True(sampled.Take.Traits.TemporalNoiseCodes > 2);
        Assert.All(sampled.Channels!, channel => Assert.InRange(channel.Traits.RoundingNoiseCodes!.Value, least, most));
        Assert.All(sampled.Channels!, channel => Assert.Equal(2, channel.Traits.RowsPerSample));
        double[] steps = [1.5748 * 219 / 224, 1, 1.8556 * 219 / 224];
        for (int n = 0; n < 3; n++) Assert.Equal(steps[n] * sampled.Take.Traits.CodeStepRelative, sampled.Channels![n].Traits.CodeStepRelative, 0.05 * sampled.Take.Traits.CodeStepRelative);
        Assert.Equal(sampled.Channels![2].Traits.RoundingNoiseCodes!.Value, sampled.Part(2, 8).Channels![2].Traits.RoundingNoiseCodes!.Value, 0.5);
    }

    [Theory]
    [InlineData("yuv420p", "tv", "smpte170m", 0.299, 0.114)]
    [InlineData("yuv444p", "tv", "bt709", 0.2126, 0.0722)]
    [InlineData("yuv420p", "pc", "bt2020nc", 0.2627, 0.0593)]
    [InlineData("nv12", "tv", "", 0.299, 0.114)]
    public void The_clips_own_matrix_and_range_are_used(string format, string range, string matrix, double kr, double kb)
    {
        const int y = 120, cb = 150, cr = 90;
        string[] tags = ["-color_range", range, .. matrix.Length == 0 ? Array.Empty<string>() : ["-colorspace", matrix]];
        string path = Flat("m.nut", format, y, cb, cr, ["-c:v", "rawvideo", .. tags]);
        if (format != "nv12") path = Flat("m.mkv", format, y, cb, cr, ["-c:v", "ffv1", .. tags]);
        ClipInfo info = ClipProbe.Probe(path);
        SampledRegion sampled = ClipReader.Read(info, new ClipRequest([new Region(0, 0, 36, 14)]) { Transfer = TransferFunction.Linear, Colour = true, WantStill = false }).Regions[0];
        bool full = info.Range == SignalRange.Full;
        Assert.Equal(range == "pc", full);
        double luma = full ? y / 255.0 : (y - 16) / 219.0, b = full ? (cb - 128) / 255.0 : (cb - 128) / 224.0, r = full ? (cr - 128) / 255.0 : (cr - 128) / 224.0;
        double red = luma + 2 * (1 - kr) * r, blue = luma + 2 * (1 - kb) * b, green = (luma - kr * red - kb * blue) / (1 - kr - kb);
        double[] expected = [red, green, blue];
        for (int channel = 0; channel < 3; channel++)
            Assert.Equal(expected[channel], sampled.Channels![channel].Traces.Strip(2)[5], 3e-4);
        Assert.Equal(luma, sampled.Take.Traces.Strip(2)[5], 1e-6);
    }

    [Fact]
    public void Blue_that_flickers_shows_in_blue_and_hardly_in_luma()
    {
        byte[] codes = [.. Enumerable.Range(0, 8).SelectMany(frame => Planes("yuv444p", 60, frame % 2 == 0 ? 128 : 168, 128))];
        string path = _media.Encoded("blue.mkv", "yuv444p", 36, 14, codes, "-c:v", "ffv1", "-colorspace", "bt709");
        SampledRegion sampled = ClipReader.Read(path, new ClipRequest([new Region(0, 0, 36, 14)]) { Colour = true, WantStill = false }).Regions[0];
        Assert.Equal(0, DepthOf(sampled.Take.Traces), 1e-6);
        Assert.Equal(0, DepthOf(sampled.Channels![0].Traces), 1e-6);
        Assert.True(DepthOf(sampled.Channels[2].Traces) > 0.3);
    }

    /// <summary>Weights of the two nearest difference rows: a straight line between samples in the middle of the rows they stand for (H.264, figure 6-1).</summary>
    [Theory]
    [InlineData(6, 0, false, 6, 6, 0)]
    [InlineData(6, 1, false, 3, 2, 2)]
    [InlineData(7, 1, false, 3, 4, 2)]
    [InlineData(0, 1, false, 0, 0, 2)]
    [InlineData(19, 1, false, 9, 9, 2)]
    [InlineData(6, 1, true, 2, 4, 2)] // row 3 of the upper field: its difference rows 1 and 2 are rows 2 and 4
    [InlineData(5, 1, true, 3, 1, 2)]
    [InlineData(4, 2, false, 1, 0, 3)]
    public void A_row_takes_its_colour_from_the_line_between_the_nearest_difference_rows(int row, int shift, bool interlaced, int near, int far, int eighths) =>
        Assert.Equal((near, far, eighths), ColourSampler.DifferenceRows(row, shift, 10, interlaced));

    /// <summary>Beside the loop that says what is picked: columns from the first on, every so many, at the end of the row and at rows that are coarser.</summary>
    [Theory]
    [InlineData(1920, 0, 4, 0)]
    [InlineData(1920, 8, 4, 1)]
    [InlineData(1920, 4, 4, 2)]
    [InlineData(1023, 3, 2, 0)]
    [InlineData(1024, 2, 2, 1)]
    [InlineData(637, 1, 4, 0)]
    [InlineData(3840, 8, 8, 1)]
    [InlineData(21, 5, 1, 1)]
    public void Codes_are_picked_as_a_plain_loop_picks_them(int width, int first, int step, int shift)
    {
        var random = new Random(width);
        byte[] codes = new byte[(width + (1 << shift) - 1) >> shift];
        random.NextBytes(codes);
        int[] picked = new int[(width - first + step - 1) / step], plain = [.. Enumerable.Range(0, picked.Length).Select(k => (int)codes[(first + k * step) >> shift])];
        ColourSampler.Pick(codes, picked, first, step, shift);
        Assert.Equal(plain, picked);
    }

    private static double DepthOf(RowTraces traces)
    {
        float a = traces.Strip(0)[0], b = traces.Strip(0)[traces.Rows];
        return Math.Abs(a - b) / (a + b);
    }

    private string Flat(string name, string format, int y, int cb, int cr, params string[] encoder) =>
        _media.Encoded(name, format, 36, 14, [.. Enumerable.Repeat(Planes(format, y, cb, cr), 2).SelectMany(plane => plane)], encoder);

    private static byte[] Planes(string format, int y, int cb, int cr)
    {
        PixelLayout pixels = PixelLayout.Find(format)!;
        int columns = 36 >> pixels.DifferenceColumnShift, rows = 14 >> pixels.DifferenceRowShift;
        IEnumerable<int> codes = Enumerable.Repeat(y, 36 * 14);
        codes = format == "nv12"
            ? codes.Concat(Enumerable.Repeat<int[]>([cb, cr], columns * rows).SelectMany(pair => pair))
            : codes.Concat(Enumerable.Repeat(cb, columns * rows)).Concat(Enumerable.Repeat(cr, columns * rows));
        return [.. codes.SelectMany<int, byte>(code => pixels.SampleBytes == 1 ? [(byte)code] : [(byte)code, (byte)(code >> 8)])];
    }
}
