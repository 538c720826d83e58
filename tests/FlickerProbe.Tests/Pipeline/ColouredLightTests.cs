using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;
using FlickerProbe.Verdict;
using RenderedRate = FlickerProbe.Rendering.Camera.FrameRate;

namespace FlickerProbe.Tests.Pipeline;

/// <summary>Light is measured by primary without being asked, white light too: it may be mixed from colours.</summary>
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
        // 4:2:0 takes a fiftieth of these bands: the interval holds it. (As RGB the clip went through another program's rounding.)
        if (!asRgb) Assert.True(take.Channels![2].ModulationDepth!.Value.Holds(onCamera), $"{take.Channels![2].ModulationDepth} and {onCamera}");
        Assert.Equal(chroma == "C420", take.Channels![2].Tones[0].Parts.Any(part => part.Cause == "rows of colour"));
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

    /// <summary>White mixed from three emitters, of which blue alone pulses: 7 % of the luminance (BT.709-6, item 3.2), so that luma stays under the pass line.</summary>
    [Fact]
    public void Blue_that_flickers_alone_in_white_light_is_no_pass()
    {
        FixtureResult fixture = Judge(Render("white-mix.mkv", LightSource.Of("lamp",
            [new Emitter(Waveform.Sine(1000, 0), new Rgb(1, 1, 0)), new Emitter(Waveform.Sine(325, 0.12), new Rgb(0, 0, 1))])));

        double onCamera = 0.12 * Math.Abs(Math.Sin(Math.PI * 325 * ExposureSeconds) / (Math.PI * 325 * ExposureSeconds));
        TakeResult take = Assert.Single(fixture.Levels[0].Takes);
        Assert.True(take.ModulationDepth!.Value.High < Policy.Default.Depth.Pass);
        Assert.InRange(take.Channels![2].ModulationDepth!.Value.Value, 0.85 * onCamera, 1.15 * onCamera);
        Assert.Equal("fail", fixture.Verdict);
        Assert.StartsWith("The blue emitter flickers, red and green do not. In blue light: ", fixture.Reasons[0].Message, StringComparison.Ordinal);
    }

    /// <summary>The same light with its colours left out passes by its brightness: whoever reads the verdict must be told what it rests on.</summary>
    [Fact]
    public void A_pass_by_brightness_alone_says_so_beside_what_to_do()
    {
        FixtureResult fixture = Judge(Render("white-mix.mkv", LightSource.Of("lamp",
            [new Emitter(Waveform.Sine(1000, 0), new Rgb(1, 1, 0)), new Emitter(Waveform.Sine(325, 0.12), new Rgb(0, 0, 1))]), seconds: 6), ColourMode.Off);

        Assert.Equal("pass", fixture.Verdict);
        Assert.Contains(fixture.Reasons, r => r.Code == FindingCodes.ColoursUnmeasured);
        Assert.Contains("brightness alone", Assert.Single(Answer.For(fixture).Do), StringComparison.Ordinal);
    }

    [Fact]
    public void White_light_of_one_driver_is_spoken_of_as_a_whole()
    {
        FixtureResult flickering = Judge(Render("warm.mkv", LightSource.Of("lamp", [new Emitter(Waveform.Sine(325, 0.2), new Rgb(1, 0.9, 0.8))])));
        FixtureResult still = Judge(Render("warm-still.mkv", LightSource.Of("lamp", [new Emitter(Waveform.Sine(325, 0), new Rgb(1, 0.9, 0.8))]), seconds: 6));

        Assert.Equal("fail", flickering.Verdict);
        Assert.DoesNotContain(flickering.Reasons, r => r.Message.Contains("In red", StringComparison.Ordinal) || r.Message.Contains("In blue", StringComparison.Ordinal));
        Assert.Equal(3, flickering.Levels[0].Takes[0].Channels!.Count);
        Assert.Equal("pass", still.Verdict);
        Assert.Contains("In red, green and blue by themselves it is at most ", still.Reasons[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_recording_without_colour_stays_on_luma() =>
        Assert.Empty(Measure("white.mkv", LightSource.Of("lamp", Waveform.Sine(325, 0.2))).Channels);

    [Fact]
    public void A_view_with_the_fixture_off_is_taken_from_brightness_and_every_colour()
    {
        // Half as much steady light from elsewhere, in other shares of the colours: without it each colour has the lamp's own depth.
        LightSource lamp = LightSource.Of("lamp", [new Emitter(Waveform.Sine(325, 0.3), new Rgb(1, 0.9, 0.8))]), room = LightSource.Of("room", [new Emitter(Waveform.Sine(100, 0), new Rgb(0.7, 0.9, 1))]);
        string both = Render("both.mkv", lamp, ambient: room), off = Render("off.mkv", lamp, ambient: room, lampOn: false);
        TakeRequest request = RequestFor(both) with { Reference = off };
        MeasuredTake take = Assert.Single(new TakeMeasurer(new CameraStore(_folder)).Measure(request, null, CancellationToken.None));

        double onCamera = 0.3 * Math.Abs(Math.Sin(Math.PI * 325 * ExposureSeconds) / (Math.PI * 325 * ExposureSeconds));
        Assert.InRange(take.Measurement.ModulationDepth!.Value.Value, 0.97 * onCamera, 1.03 * onCamera);
        Assert.Equal(3, take.Channels.Count);
        Assert.All(take.Channels, c => Assert.InRange(c.Measurement.ModulationDepth!.Value.Value, 0.97 * onCamera, 1.03 * onCamera));
        Assert.All(take.Channels, c => Assert.DoesNotContain(c.Measurement.Findings, f => f.Code == "no-reference"));
    }

    /// <summary>Nine minutes of 1080 rows at 60 frames a second: four planes of traces would need more than the memory that is given to them unasked.</summary>
    [Fact]
    public void Where_a_clip_is_too_long_for_its_colours_that_alone_forbids_a_pass()
    {
        ClipInfo info = ClipProbe.Probe(Render("short.mkv", LightSource.Of("lamp", Waveform.Sine(325, 0.2))));
        Region[] whole = [new(0, 0, info.Width, info.Height)];
        ClipInfo lengthy = info with { PacketBytes = new int[(int)((1L << 30) / (info.Height * 32)) + 1] };

        Assert.True(LitChannels.AreWanted(ColourMode.Auto, info, whole));
        Assert.Null(LitChannels.Unmeasured(ColourMode.Auto, info, whole));
        Assert.False(LitChannels.AreWanted(ColourMode.Auto, lengthy, whole));
        Assert.True(LitChannels.Unmeasured(ColourMode.Auto, lengthy, whole) is { ForbidsPass: true, Code: "colours-unmeasured" });
        Assert.True(LitChannels.AreWanted(ColourMode.On, lengthy, whole));
        Assert.Null(LitChannels.Unmeasured(ColourMode.On, lengthy, whole));
    }

    [Fact]
    public void Where_colours_were_switched_off_the_result_says_that_it_speaks_for_brightness_alone()
    {
        string clip = Render("asked.mkv", LightSource.Of("lamp", Waveform.Sine(325, 0.2)));
        MeasuredTake Measured(ColourMode mode) =>
            Assert.Single(new TakeMeasurer(new CameraStore(_folder)).Measure(RequestFor(clip) with { Colour = mode }, null, CancellationToken.None));
        Assert.Contains(Measured(ColourMode.Off).Measurement.Findings, f => f is { Code: "colours-unmeasured", ForbidsPass: false });
        Assert.DoesNotContain(Measured(ColourMode.On).Measurement.Findings, f => f.Code == "colours-unmeasured");
        // A grey recording has no colour that could be missing.
        Assert.Null(LitChannels.Unmeasured(ColourMode.Off, ClipProbe.Probe(clip) with { Pixels = PixelLayout.Find("gray")! }, []));
    }

    [Fact]
    public void What_was_doubtful_in_one_colour_counts_in_later_forecasts()
    {
        string path = Render("mix.mkv", LightSource.Of("lamp", [new Emitter(Waveform.Sine(325, 0), new Rgb(1, 0.9, 0.8))]), seconds: 6);
        MeasuredTake take = Assert.Single(new TakeMeasurer(new CameraStore(_folder)).Measure(RequestFor(path), null, CancellationToken.None));
        Finding dark = new("dark", "Blue is too dark.") { ForbidsPass = true };
        MeasuredChannel blue = take.Channels[2] with { Measurement = take.Channels[2].Measurement with { Findings = [dark], LockedBound = 0.004 } };
        LevelResult level = LevelJudge.Judge(null, [take with { Channels = [take.Channels[0], take.Channels[1], blue] }], [], Policy.Default).Result;
        LevelResult sound = LevelJudge.Judge(null, [take], [], Policy.Default).Result;

        Assert.Equal(("watch", "pass"), (level.Verdict, sound.Verdict));
        Assert.Equal("watch", LevelJudge.Judge(level, [], Policy.Default).Result.Verdict);
        Assert.Equal("pass", LevelJudge.Judge(sound, [], Policy.Default).Result.Verdict);
        Assert.Equal(0.004, level.Takes[0].Channels![2].LockedBound);
    }

    private FixtureResult Judge(string path, ColourMode colour = ColourMode.Auto)
    {
        var request = new MeasureRequest(RequestFor(path) with { Colour = colour }, [], null, null, null);
        return Assert.Single(new MeasurePipeline(new TakeMeasurer(new CameraStore(_folder)), TimeProvider.System).Run(request, null, CancellationToken.None).Fixtures);
    }

    private MeasuredTake Measure(string name, LightSource lamp, double level = 0.55) =>
        Assert.Single(new TakeMeasurer(new CameraStore(_folder)).Measure(RequestFor(Render(name, lamp, level: level)), null, CancellationToken.None));

    private static TakeRequest RequestFor(string path) => new()
    {
        Clip = path, Regions = [new Region(8, 8, 144, 160)], Readout = FlickerProbe.Camera.ReadoutTime.FromSeconds(0.016), Shutter = GivenShutter.Parse("1/1000"),
    };

    private string Render(
        string name, LightSource lamp, FlickerProbe.Rendering.Camera.ChromaSampling chroma = FlickerProbe.Rendering.Camera.ChromaSampling.C420, double level = 0.55, double seconds = 2.5,
        LightSource? ambient = null, bool lampOn = true)
    {
        ClipRecipe recipe = ClipRecipe.Wall(Waveform.Sine(325, 0), RenderedRate.Parse("30000/1001"), ExposureSeconds, 0.016, seconds, level) with
        {
            Width = 160,
            Height = 180,
            Sources = [lamp],
            Layout = new FlickerProbe.Rendering.Camera.PixelLayout { Chroma = chroma },
            Encoding = new ClipEncoding { Codec = ClipCodec.Ffv1, Lossless = true },
        };
        if (ambient is not null)
        {
            LightOnSurface other = new() { Source = ambient.Name, Share = 0.5 };
            recipe = recipe with { Sources = [lamp, ambient], Surfaces = [recipe.Surfaces[0] with { Lights = lampOn ? [.. recipe.Surfaces[0].Lights, other] : [other] }] };
        }
        string path = Path.Combine(_folder, name);
        ClipRenderer.Render(recipe, path);
        return path;
    }
}
