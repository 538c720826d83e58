using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;
using RenderedRate = FlickerProbe.Rendering.Camera.FrameRate;

namespace FlickerProbe.Tests.Pipeline;

/// <summary>Coloured light is measured by primary without being asked; white light is not.</summary>
public sealed class ColouredLightTests : IDisposable
{
    private const double ExposureSeconds = 1 / 1000.0;
    private readonly string _folder = Directory.CreateTempSubdirectory("flickerprobe-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_blue_emitter_that_flickers_alone_is_found_though_luma_shows_a_fraction_of_it()
    {
        MeasuredTake take = Measure("amber-and-blue.mkv", LightSource.Of("lamp",
        [
            new Emitter(Waveform.Sine(1000, 0), new Rgb(0.6, 0.35, 0)),
            new Emitter(Waveform.Sine(325, 0.6), new Rgb(0, 0, 1)),
        ]));

        Assert.Equal(["red", "green", "blue"], take.Channels.Select(c => c.Name));
        double onCamera = 0.6 * Math.Sin(Math.PI * 325 * ExposureSeconds) / (Math.PI * 325 * ExposureSeconds);
        Assert.InRange(take.Channels[2].Measurement.ModulationDepth!.Value.Value, 0.9 * onCamera, 1.1 * onCamera);
        Assert.True(take.Measurement.ModulationDepth!.Value.Value < 0.25 * onCamera);
        Assert.True(take.Channels[0].Measurement.ModulationDepth!.Value.Value < 0.1 * onCamera);
    }

    /// <summary>An RGB fixture set to pink, of which only blue pulses: blue carries 0.0722 × 0.9 of a luminance of 0.707 (BT.709-6, item 3.2), so luma shows a
    /// tenth of its depth at most.</summary>
    [Theory]
    [InlineData("C420", false)]
    [InlineData("C422", false)]
    [InlineData("C444", false)]
    [InlineData("C444", true)]
    public void Blue_that_pulses_alone_is_named_whatever_the_recording_samples(string chroma, bool asRgb)
    {
        string path = Render(
            "pink.mkv",
            LightSource.Of("lamp", [new Emitter(Waveform.Sine(1000, 0), new Rgb(1, 0.6, 0)), new Emitter(Waveform.Sine(325, 0.5), new Rgb(0, 0, 0.9))]),
            Enum.Parse<FlickerProbe.Rendering.Camera.ChromaSampling>(chroma));
        if (asRgb)
        {
            string rgb = Path.Combine(_folder, "pink-rgb.mkv");
            FlickerProbe.Tests.Decoding.Media.Ffmpeg("-i", path, "-vf", "scale=in_color_matrix=bt709:out_range=pc", "-pix_fmt", "gbrp", "-c:v", "ffv1", "-color_trc", "bt709", rgb);
            path = rgb;
        }

        var request = new MeasureRequest(RequestFor(path), [], null, null, null);
        FlickerProbe.Files.Results.ResultDocument result = new MeasurePipeline(new TakeMeasurer(new CameraStore(_folder)), TimeProvider.System).Run(request, null, CancellationToken.None);

        FlickerProbe.Files.Results.TakeResult take = Assert.Single(Assert.Single(result.Fixtures).Levels[0].Takes);
        double onCamera = 0.5 * Math.Abs(Math.Sin(Math.PI * 325 * ExposureSeconds) / (Math.PI * 325 * ExposureSeconds));
        Assert.Equal(["red", "green", "blue"], take.Channels!.Select(c => c.Channel));
        Assert.InRange(take.Channels![2].ModulationDepth!.Value.Value, 0.9 * onCamera, 1.1 * onCamera);
        Assert.True((take.ModulationDepth?.Value ?? 0) < 0.1 * onCamera);
        Assert.Equal("fail", result.Fixtures[0].Verdict);
        Assert.StartsWith("The blue emitter flickers, red and green do not. In blue light: ", result.Fixtures[0].Reasons[0].Message, StringComparison.Ordinal);
        Assert.Equal(chroma == "C420", take.Warnings.Any(w => w.Code == "colour-rows"));
    }

    [Theory]
    [InlineData(1, 0, 0, "red")]
    [InlineData(0, 1, 0, "green")]
    [InlineData(0, 0, 1, "blue")]
    public void A_saturated_primary_is_measured_in_its_own_channel_and_not_called_dark(double red, double green, double blue, string name)
    {
        // Rendered sources are scaled to a luminance of 1; the wall's level keeps the primary itself at about 0.6 of the scale: L = K · 0.6^(1/0.45).
        double share = (0.2126 * red) + (0.7152 * green) + (0.0722 * blue);
        MeasuredTake take = Measure("saturated.mkv", LightSource.Of("lamp", [new Emitter(Waveform.Sine(325, 0.3), new Rgb(red, green, blue))]), 1.099 * Math.Pow(share * 0.34, 0.45) - 0.099);

        MeasuredChannel only = Assert.Single(take.Channels);
        Assert.Equal(name, only.Name);
        double onCamera = 0.3 * Math.Abs(Math.Sin(Math.PI * 325 * ExposureSeconds) / (Math.PI * 325 * ExposureSeconds));
        Assert.InRange(only.Measurement.ModulationDepth!.Value.Value, 0.95 * onCamera, 1.05 * onCamera);
        Assert.DoesNotContain(take.Measurement.Findings, f => f.Code == "dark");
    }

    [Fact]
    public void White_light_stays_on_luma() =>
        Assert.Empty(Measure("white.mkv", LightSource.Of("lamp", Waveform.Sine(325, 0.2))).Channels);

    private MeasuredTake Measure(string name, LightSource lamp, double level = 0.55) =>
        Assert.Single(new TakeMeasurer(new CameraStore(_folder)).Measure(RequestFor(Render(name, lamp, level: level)), null, CancellationToken.None));

    private static TakeRequest RequestFor(string path) => new()
    {
        Clip = path, Regions = [new Region(8, 8, 144, 160)], Readout = FlickerProbe.Camera.ReadoutTime.FromSeconds(0.016), Shutter = GivenShutter.Parse("1/1000"),
    };

    private string Render(
        string name, LightSource lamp, FlickerProbe.Rendering.Camera.ChromaSampling chroma = FlickerProbe.Rendering.Camera.ChromaSampling.C420, double level = 0.55)
    {
        ClipRecipe recipe = ClipRecipe.Wall(Waveform.Sine(325, 0), RenderedRate.Parse("30000/1001"), ExposureSeconds, 0.016, 2.5, level) with
        {
            Width = 160,
            Height = 180,
            Sources = [lamp],
            Layout = new FlickerProbe.Rendering.Camera.PixelLayout { Chroma = chroma },
            Encoding = new ClipEncoding { Codec = ClipCodec.Ffv1, Lossless = true },
        };
        string path = Path.Combine(_folder, name);
        ClipRenderer.Render(recipe, path);
        return path;
    }
}
