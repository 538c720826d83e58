using System.Text.Json;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Truth;
using Xunit;

namespace FlickerProbe.Tests.Rendering;

/// <summary>What is written is what was painted, with the tags and times asked for.</summary>
public class EncodedClipTests
{
    private static ClipRecipe Small(int frames = 6) => ClipRecipe.Wall(Waveform.Sine(100, 0.3), new FrameRate(30000, 1001), 1 / 250.0, 0.016, 1) with
    {
        Width = 64,
        Height = 48,
        Frames = frames,
        Noise = new SensorNoise { CodesAtMid = 40 }, // spreads the codes over most of the scale
        Encoding = new ClipEncoding { Lossless = true },
    };

    [Theory]
    [InlineData("clip.mp4", ClipCodec.H264, 8, ChromaSampling.C420, false)]
    [InlineData("clip.mp4", ClipCodec.H264, 8, ChromaSampling.C420, true)]
    [InlineData("clip.mkv", ClipCodec.H264, 10, ChromaSampling.C420, false)]
    [InlineData("clip.mp4", ClipCodec.H264, 8, ChromaSampling.Gray, false)]
    [InlineData("clip.mp4", ClipCodec.H264, 8, ChromaSampling.C444, true)]
    [InlineData("clip.mov", ClipCodec.Hevc, 8, ChromaSampling.C420, false)]
    [InlineData("clip.mp4", ClipCodec.Hevc, 10, ChromaSampling.C420, true)]
    [InlineData("clip.mkv", ClipCodec.Hevc, 12, ChromaSampling.C422, false)]
    [InlineData("clip.mkv", ClipCodec.Ffv1, 10, ChromaSampling.C444, false)]
    [InlineData("clip.mkv", ClipCodec.Ffv1, 12, ChromaSampling.Gray, true)]
    [InlineData("clip.avi", ClipCodec.Ffv1, 8, ChromaSampling.C422, false)]
    [InlineData("clip.webm", ClipCodec.Vp9, 8, ChromaSampling.C420, false)]
    [InlineData("clip.mkv", ClipCodec.Vp9, 10, ChromaSampling.C420, false)]
    public void Lossless_clips_hold_every_code_that_was_painted(string name, ClipCodec codec, int bits, ChromaSampling chroma, bool fullRange)
    {
        using Footage footage = new();
        ClipRecipe recipe = Small(3) with
        {
            Layout = new PixelLayout { Bits = bits, Chroma = chroma, FullRange = fullRange },
            Encoding = new ClipEncoding { Codec = codec, Lossless = true },
        };
        ClipRenderer.Render(recipe, footage[name]);

        JsonElement stream = Footage.Stream(footage[name]);
        byte[] painted = [.. ClipRenderer.Paint(recipe).SelectMany(f => (byte[])f.Clone())];
        string format = stream.GetProperty("pix_fmt").GetString()!;
        byte[] decoded = Footage.Samples(footage[name], format);
        if (chroma == ChromaSampling.Gray) decoded = LumaOnly(decoded, painted.Length); // ffmpeg decodes grey H.264 as 4:2:0
        Assert.Equal(painted, decoded);
        Assert.True(painted.Distinct().Count() > 100, "the clip must use many codes for this to mean anything");
        if (codec != ClipCodec.Ffv1 || fullRange)
            Assert.Equal(fullRange ? "pc" : "tv", stream.TryGetProperty("color_range", out JsonElement r) ? r.GetString() : "none");

        byte[] LumaOnly(byte[] all, int length) =>
            [.. Enumerable.Range(0, 3).SelectMany(f => all.Skip(f * all.Length / 3).Take(length / 3))];
    }

    [Theory]
    [InlineData("clip.mov", ClipCodec.ProRes, 10, ChromaSampling.C422, false, "prores", 1.0)]
    [InlineData("clip.avi", ClipCodec.Mjpeg, 8, ChromaSampling.C420, true, "mjpeg", 0.6)]
    [InlineData("clip.mkv", ClipCodec.Mjpeg, 8, ChromaSampling.C422, false, "mjpeg", 0.6)]
    [InlineData("clip.mp4", ClipCodec.Mpeg2, 8, ChromaSampling.C420, false, "mpeg2video", 0.6)]
    [InlineData("clip.mkv", ClipCodec.Vp9, 8, ChromaSampling.C420, false, "vp9", 0.6)]
    public void Lossy_encoders_keep_the_range_and_the_mean(string name, ClipCodec codec, int bits, ChromaSampling chroma, bool fullRange, string codecName, double meanCodes)
    {
        using Footage footage = new();
        ClipRecipe recipe = Small(3) with
        {
            Layout = new PixelLayout { Bits = bits, Chroma = chroma, FullRange = fullRange },
            Noise = new SensorNoise { CodesAtMid = 3 },
            FrameRate = new FrameRate(25),
            Encoding = new ClipEncoding { Codec = codec, Quality = codec is ClipCodec.Vp9 or ClipCodec.ProRes ? 4 : 2 },
        };
        ClipRenderer.Render(recipe, footage[name]);

        JsonElement stream = Footage.Stream(footage[name]);
        Assert.Equal(codecName, stream.GetProperty("codec_name").GetString());
        byte[] decoded = Footage.Samples(footage[name], stream.GetProperty("pix_fmt").GetString()!);
        byte[] painted = [.. ClipRenderer.Paint(recipe).SelectMany(f => (byte[])f.Clone())];
        Assert.Equal(painted.Length, decoded.Length);
        Assert.Equal(LumaMean(painted), LumaMean(decoded), meanCodes * (1 << (bits - 8)));

        double LumaMean(byte[] planes)
        {
            int samples = recipe.Width * recipe.Height;
            return bits == 8 ? planes.Take(samples).Average(b => b)
                : Enumerable.Range(0, samples).Average(i => planes[2 * i] | (planes[2 * i + 1] << 8));
        }
    }

    [Fact]
    public void Tags_say_what_the_recipe_says()
    {
        using Footage footage = new();
        ClipRecipe recipe = Small(2) with
        {
            Curve = new TransferCurve { Kind = CurveKind.Hlg },
            Layout = new PixelLayout { Bits = 10, Matrix = LumaMatrix.Bt2020 },
            Encoding = new ClipEncoding { Codec = ClipCodec.Hevc },
        };
        ClipRenderer.Render(recipe, footage["hlg.mp4"]);
        JsonElement stream = Footage.Stream(footage["hlg.mp4"]);
        Assert.Equal("arib-std-b67", stream.GetProperty("color_transfer").GetString());
        Assert.Equal("bt2020", stream.GetProperty("color_primaries").GetString());
        Assert.Equal("bt2020nc", stream.GetProperty("color_space").GetString());

        ClipRenderer.Render(Small(2) with { Encoding = new ClipEncoding { WriteColourTags = false, WriteRangeTag = false } }, footage["untagged.mp4"]);
        Assert.False(Footage.Stream(footage["untagged.mp4"]).TryGetProperty("color_transfer", out _));
    }

    [Theory]
    [InlineData("clip.mp4", 24000, 1001)]
    [InlineData("clip.mov", 60000, 1001)]
    [InlineData("clip.avi", 30000, 1001)]
    [InlineData("clip.mp4", 25, 1)]
    [InlineData("clip.mp4", 120000, 1001)]
    public void The_frame_rate_in_the_file_is_exact(string name, long numerator, long denominator)
    {
        using Footage footage = new();
        FrameRate rate = new(numerator, denominator);
        ClipTruth truth = ClipRenderer.Render(Small() with { FrameRate = rate, ReadoutSeconds = 0.008 }, footage[name]);
        // Of 120000/1001 ffprobe says 120/1, which is on its list of usual rates; the time stamps know better.
        string said = Footage.Stream(footage[name]).GetProperty("avg_frame_rate").GetString()!;
        if (numerator < 120_000) Assert.Equal($"{numerator}/{denominator}", said);
        if (!name.EndsWith(".avi", StringComparison.Ordinal)) // avi keeps a rate, not time stamps
        {
            double[] times = Footage.Times(footage[name]);
            Assert.Equal(rate.StartOf(5), times[5] - times[0], 2e-6);
        }

        Assert.Equal(6, truth.Frames.Count);
        Assert.Equal(rate.StartOf(5), truth.Frames[5].StampSeconds, 1e-12);
    }

    [Fact]
    public void Irregular_time_stamps_come_out_as_asked()
    {
        using Footage footage = new();
        ClipRecipe recipe = Small(40) with
        {
            Faults = new ClipFaults
            {
                TimestampJitterSeconds = 0.002,
                DroppedFrames = [7, 8, 20],
                RateSteps = [new RateStep(25, new FrameRate(24))],
            },
        };
        foreach ((string name, double clock) in new[] { ("vfr.mp4", 1 / 90_000.0), ("vfr.mkv", 1e-3) })
        {
            ClipTruth truth = ClipRenderer.Render(recipe, footage[name]);
            double[] times = Footage.Times(footage[name]);
            Assert.Equal(37, times.Length);
            for (int i = 0; i < times.Length; i++)
                Assert.True(Math.Abs(times[i] - times[0] - truth.Frames[i].StampSeconds) <= clock, $"{name}, frame {i}: {times[i]} for {truth.Frames[i].StampSeconds}");
        }
    }

    [Fact]
    public void The_sensor_keeps_its_grid_under_the_stamps()
    {
        ClipRecipe recipe = Small(30) with
        {
            Faults = new ClipFaults { DroppedFrames = [3], RepeatedFrames = [9], RestampRegular = true },
        };
        IReadOnlyList<PlannedFrame> plan = FramePlan.Of(recipe);
        Assert.Equal([0, 1, 2, 4, 5, 6, 7, 8, 9, 9, 11], plan.Take(11).Select(p => p.SensorFrame));
        Assert.Equal(recipe.FrameRate.StartOf(3), plan[3].StampSeconds, 1e-12);
        Assert.Equal(recipe.FrameRate.StartOf(4), plan[3].SensorSeconds, 1e-12);

        recipe = Small(30) with { FrameRate = new FrameRate(120), Faults = new ClipFaults { ConformedRate = new FrameRate(24) } };
        plan = FramePlan.Of(recipe);
        Assert.Equal(1.0, plan[24].StampSeconds, 1e-12);
        Assert.Equal(0.2, plan[24].SensorSeconds, 1e-12);
    }

    [Theory]
    [InlineData("tff.mp4", ClipCodec.H264, FieldOrder.TopFirst)]
    [InlineData("bff.mkv", ClipCodec.H264, FieldOrder.BottomFirst)]
    [InlineData("tff.mpg.mkv", ClipCodec.Mpeg2, FieldOrder.TopFirst)]
    [InlineData("bff.mov", ClipCodec.Mpeg2, FieldOrder.BottomFirst)]
    [InlineData("tff.mov", ClipCodec.ProRes, FieldOrder.TopFirst)]
    [InlineData("bff.mov", ClipCodec.ProRes, FieldOrder.BottomFirst)]
    [InlineData("tff.ffv1.mkv", ClipCodec.Ffv1, FieldOrder.TopFirst)]
    public void Interlaced_clips_are_flagged(string name, ClipCodec codec, FieldOrder order)
    {
        using Footage footage = new();
        ClipRecipe recipe = Small(4) with
        {
            FrameRate = new FrameRate(25),
            Layout = new PixelLayout { Bits = codec == ClipCodec.ProRes ? 10 : 8, Chroma = codec == ClipCodec.ProRes ? ChromaSampling.C422 : ChromaSampling.C420 },
            Faults = new ClipFaults { Fields = order },
            Encoding = new ClipEncoding { Codec = codec, Quality = 4 },
        };
        ClipRenderer.Render(recipe, footage[name]);
        Assert.All(Footage.FrameEntries(footage[name], "interlaced_frame"), f => Assert.Equal("1", f));
        Assert.All(Footage.FrameEntries(footage[name], "top_field_first"), f => Assert.Equal(order == FieldOrder.TopFirst ? "1" : "0", f));
    }

    [Theory]
    [InlineData("clip.mp4", 90, -90)]
    [InlineData("clip.mov", 270, 90)]
    [InlineData("clip.mp4", 180, -180)]
    public void Rotation_is_a_tag_on_untouched_pictures(string name, int degrees, int counterClockwise)
    {
        using Footage footage = new();
        ClipRecipe recipe = Small(2) with { Faults = new ClipFaults { RotationDegrees = degrees } };
        ClipRenderer.Render(recipe, footage[name]);
        JsonElement stream = Footage.Stream(footage[name]);
        Assert.Equal(64, stream.GetProperty("width").GetInt32());
        // ffprobe counts counter-clockwise.
        Assert.Equal(counterClockwise, stream.GetProperty("side_data_list")[0].GetProperty("rotation").GetInt32());
        Assert.Equal(ClipRenderer.Paint(recipe).SelectMany(f => (byte[])f.Clone()), Footage.Samples(footage[name], "yuv420p"));
    }

    [Fact]
    public void A_still_holds_the_signal_of_the_first_frame()
    {
        using Footage footage = new();
        ClipRecipe recipe = Small(1) with { Noise = new SensorNoise { CodesAtMid = 0 }, Curve = new TransferCurve { Kind = CurveKind.Srgb } };
        ClipRenderer.Render(recipe, footage["still.png"]);
        ClipRenderer.Render(recipe, footage["still.jpg"]);
        byte[] png = Footage.Samples(footage["still.png"], "gray"), jpg = Footage.Samples(footage["still.jpg"], "yuvj420p");
        LightAnalysis light = LightAnalysis.Of(Waveform.Sine(100, 0.3));
        for (int r = 0; r < 48; r++)
        {
            double signal = recipe.Curve.Encode(recipe.Curve.Decode(0.55) * light.ExposureAverage(r * 0.016 / 48, 1 / 250.0));
            Assert.Equal(255 * signal, png[r * 64 + 5], 0.51);
            Assert.Equal(255 * signal, jpg[r * 64 + 5], 3.0);
        }
    }

    [Fact]
    public void A_name_with_quotes_and_spaces_is_only_a_name()
    {
        using Footage footage = new();
        string path = footage["a \"quoted\" name -f null.mp4"];
        ClipRenderer.Render(Small(2), path, writeTruth: true);
        Assert.True(File.Exists(path));
        ClipTruth truth = ClipTruth.FromJson(File.ReadAllText(path + ".truth.json"));
        Assert.Equal(0.3, truth.Region("wall").Steps[0].Light!.ModulationDepth, 1e-9);
    }

    [Fact]
    public void A_recipe_that_cannot_be_is_refused_in_words()
    {
        using Footage footage = new();
        Assert.Contains("must end in", Assert.Throws<ArgumentException>(() => ClipRenderer.Render(Small(2), footage["clip.txt"])).Message, StringComparison.Ordinal);
        Assert.Contains("even width", Assert.Throws<ArgumentException>(() => ClipRenderer.Render(Small(2) with { Width = 63 }, footage["clip.mp4"])).Message, StringComparison.Ordinal);
        Assert.Contains("no lossless mode", Assert.Throws<ArgumentException>(() =>
            ClipRenderer.Render(Small(2) with { Encoding = new ClipEncoding { Codec = ClipCodec.Mpeg2, Lossless = true } }, footage["clip.mov"])).Message, StringComparison.Ordinal);
        Assert.Contains("does not hold 8-bit", Assert.Throws<ArgumentException>(() =>
            ClipRenderer.Render(Small(2) with { Encoding = new ClipEncoding { Codec = ClipCodec.ProRes } }, footage["clip.mov"])).Message, StringComparison.Ordinal);
        Assert.Contains("not written interlaced", Assert.Throws<ArgumentException>(() =>
            ClipRenderer.Render(Small(2) with { Faults = new ClipFaults { Fields = FieldOrder.TopFirst }, Encoding = new ClipEncoding { Codec = ClipCodec.Hevc } }, footage["clip.mov"])).Message, StringComparison.Ordinal);
        Assert.Contains("fit into a frame", Assert.Throws<ArgumentException>(() => ClipRenderer.Render(Small(2) with { ExposureSeconds = 0.04 }, footage["clip.mp4"])).Message, StringComparison.Ordinal);
        Assert.Contains("ffmpeg could not write", Assert.Throws<ClipEncodingException>(() =>
            ClipRenderer.Render(Small(2) with { Encoding = new ClipEncoding { Preset = "nosuchpreset" } }, footage["clip.mp4"])).Message, StringComparison.Ordinal);
    }
}
