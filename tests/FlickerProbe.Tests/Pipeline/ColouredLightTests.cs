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

    [Fact]
    public void White_light_stays_on_luma() =>
        Assert.Empty(Measure("white.mkv", LightSource.Of("lamp", Waveform.Sine(325, 0.2))).Channels);

    private MeasuredTake Measure(string name, LightSource lamp)
    {
        ClipRecipe recipe = ClipRecipe.Wall(Waveform.Sine(325, 0), RenderedRate.Parse("30000/1001"), ExposureSeconds, 0.016, 2.5) with
        {
            Width = 160,
            Height = 180,
            Sources = [lamp],
            Encoding = new ClipEncoding { Codec = ClipCodec.Ffv1, Lossless = true },
        };
        string path = Path.Combine(_folder, name);
        ClipRenderer.Render(recipe, path);
        var request = new TakeRequest { Clip = path, Regions = [new Region(8, 8, 144, 160)], Readout = FlickerProbe.Camera.ReadoutTime.FromSeconds(0.016) };
        return Assert.Single(new TakeMeasurer(new CameraStore(_folder)).Measure(request, null, CancellationToken.None));
    }
}
