using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using SkiaSharp;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

public sealed class OrientationTests : IDisposable
{
    private readonly Media _media = new();

    public void Dispose() => _media.Dispose();

    [Theory]
    [InlineData(1), InlineData(2), InlineData(3), InlineData(4), InlineData(5), InlineData(6), InlineData(7), InlineData(8)]
    public void A_displayed_region_goes_back_to_the_coded_pixels_that_show_there(int exif)
    {
        // Slow twin: turn a picture of numbered pixels step by step, as CIPA DC-008 (Exif 2.32), tag Orientation, words it.
        const int width = 7, height = 5;
        var coded = new (int X, int Y)[height, width];
        for (int y = 0; y < height; y++) for (int x = 0; x < width; x++) coded[y, x] = (x, y);
        (int, int)[,] shown = exif switch
        {
            1 => coded,
            2 => FlipX(coded),
            3 => FlipY(FlipX(coded)),
            4 => FlipY(coded),
            5 => Transpose(coded),
            6 => FlipX(Transpose(coded)),
            7 => FlipY(FlipX(Transpose(coded))),
            _ => FlipY(Transpose(coded)),
        };
        Orientation turn = Orientation.FromExif(exif);
        (int shownWidth, int shownHeight) = turn.DisplayedSize(width, height);
        Assert.Equal((shown.GetLength(1), shown.GetLength(0)), (shownWidth, shownHeight));
        for (int y = 0; y < shownHeight; y++)
        {
            for (int x = 0; x < shownWidth; x++)
            {
                Region pixel = turn.ToCoded(new Region(x, y, 1, 1), width, height);
                Assert.Equal(shown[y, x], (pixel.X, pixel.Y));
            }
        }
        Region all = turn.ToCoded(new Region(0, 0, shownWidth, shownHeight), width, height);
        Assert.Equal(new Region(0, 0, width, height), all);
        Region part = turn.ToCoded(new Region(1, 2, 2, 3), width, height);
        Assert.Equal(6, part.Width * part.Height);
    }

    [Theory]
    [InlineData("90"), InlineData("180"), InlineData("270")]
    public void A_turned_clip_is_sampled_along_its_sensor_rows(string rotate)
    {
        // Left half dark, right half light, top quarter brightest: no turn looks like another.
        string upright = _media.At("upright.mp4");
        Media.Ffmpeg("-f", "lavfi", "-i", "color=c=black:s=128x64:r=25:d=0.2,format=yuv420p,geq=lum='16+X+40*lt(Y,16)':cb=128:cr=128", "-c:v", "libx264", "-qp", "0", upright);
        string turned = _media.At("turned" + rotate + ".mp4");
        Media.Ffmpeg("-i", upright, "-c", "copy", "-metadata:s:v", "rotate=" + rotate, turned);

        ClipInfo info = ClipProbe.Probe(turned);
        Assert.NotEqual(Orientation.Upright, info.Orientation);
        (int width, int height) = info.DisplayedSize;
        // What a player shows, as ffmpeg itself turns it.
        byte[] shown = Media.FfmpegOutput("-i", turned, "-frames:v", "1", "-vf", "extractplanes=y", "-f", "rawvideo", "-");
        Assert.Equal(width * height, shown.Length);
        var region = new Region(width / 4, height / 8, width / 2, height / 4);
        double mean = 0;
        for (int y = 0; y < region.Height; y++) for (int x = 0; x < region.Width; x++) mean += shown[(region.Y + y) * width + region.X + x];
        mean /= region.Width * region.Height;

        SampledClip clip = ClipReader.Read(info, new ClipRequest([region]) { Transfer = TransferFunction.Linear });
        SampledTake take = clip.Regions[0].Take;
        bool quarter = rotate != "180";
        Assert.Equal(quarter ? region.Width : region.Height, take.Traces.Rows);
        Assert.Equal(64, take.Traces.CodedHeight);
        Assert.Equal((mean - 16) / 219, MeanOf(take.Traces), 1e-4);
        Assert.Contains(clip.Findings, finding => finding.Code == "rotated");

        // The still must show what a player shows.
        using SKBitmap still = SKBitmap.Decode(clip.StillPng);
        Assert.Equal((width, height), (still.Width, still.Height));
        foreach ((int x, int y) in new[] { (3, 3), (width - 4, 3), (3, height - 4), (width - 4, height - 4) })
            Assert.Equal((shown[y * width + x] - 16) / 219.0, still.GetPixel(x, y).Green / 255.0, 0.03);
    }

    [Fact]
    public void A_mirrored_still_is_turned_by_its_tag()
    {
        string path = _media.At("plain.jpg");
        Media.Ffmpeg("-f", "lavfi", "-i", "color=c=black:s=64x32:d=0.04,format=yuvj420p,geq=lum='X*3':cb=128:cr=128", "-frames:v", "1", "-q:v", "2", path);
        byte[] jpeg = File.ReadAllBytes(path);
        // An Exif block of one entry: big-endian TIFF, tag 0x0112, type SHORT, count 1, value 6 (turn clockwise by a quarter).
        byte[] exif = [0xFF, 0xE1, 0, 34, .. "Exif\0\0"u8, .. "MM\0*"u8, 0, 0, 0, 8, 0, 1, 1, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0];
        string tagged = _media.At("tagged.jpg");
        File.WriteAllBytes(tagged, [.. jpeg[..2], .. exif, .. jpeg[2..]]);
        ClipInfo info = ClipProbe.Probe(tagged);
        Assert.Equal((90, false, (32, 64)), (info.Orientation.RotationDegrees, info.Orientation.Mirrored, info.DisplayedSize));
        // Coded left is displayed top.
        double top = MeanOf(Sample(info, new Region(0, 0, 32, 8))), bottom = MeanOf(Sample(info, new Region(0, 56, 32, 8)));
        Assert.True(top < 0.1 && bottom > 0.6, $"{top} {bottom}");
    }

    private static RowTraces Sample(ClipInfo info, Region region) =>
        ClipReader.Read(info, new ClipRequest([region]) { Transfer = TransferFunction.Linear, WantStill = false }).Regions[0].Take.Traces;

    private static double MeanOf(RowTraces traces)
    {
        double sum = 0;
        for (int strip = 0; strip < traces.Strips; strip++)
        {
            foreach (float light in traces.Strip(strip)) sum += light;
        }
        return sum / traces.Strips / traces.Frames / traces.Rows;
    }

    private static (int, int)[,] FlipX((int, int)[,] p) => Map(p, p.GetLength(0), p.GetLength(1), (y, x) => p[y, p.GetLength(1) - 1 - x]);

    private static (int, int)[,] FlipY((int, int)[,] p) => Map(p, p.GetLength(0), p.GetLength(1), (y, x) => p[p.GetLength(0) - 1 - y, x]);

    private static (int, int)[,] Transpose((int, int)[,] p) => Map(p, p.GetLength(1), p.GetLength(0), (y, x) => p[x, y]);

    private static (int, int)[,] Map((int, int)[,] p, int rows, int columns, Func<int, int, (int, int)> pick)
    {
        var result = new (int, int)[rows, columns];
        for (int y = 0; y < rows; y++) for (int x = 0; x < columns; x++) result[y, x] = pick(y, x);
        return result;
    }
}
