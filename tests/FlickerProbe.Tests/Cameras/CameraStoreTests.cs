using FlickerProbe.Camera;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Cameras;

public sealed class CameraStoreTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory().FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static CameraMode Mode(string rate, int width, int height, double milliseconds) =>
        new(rate, width, height, milliseconds / 1000, milliseconds / 1000 - 1e-4, milliseconds / 1000 + 1e-4, "lamp.mp4");

    [Fact]
    public void What_was_saved_comes_back_with_its_tolerance()
    {
        new CameraStore(_folder).Save("hall", Mode("30000/1001", 1920, 1080, 16));

        ReadoutTime readout = new CameraStore(_folder).ReadoutFor("hall", FrameRate.Parse("29.97"), 1920, 1080);

        Assert.Equal(0.016, readout.Seconds);
        Assert.Equal(1e-4, readout.Seconds * readout.RelativeDeviation * Estimate.Coverage95, 1e-12);
    }

    [Theory]
    [InlineData("50", 1920, 1080)]
    [InlineData("29.97", 1280, 720)]
    public void A_readout_is_not_lent_to_another_mode(string rate, int width, int height)
    {
        var store = new CameraStore(_folder);
        store.Save("hall", Mode("30000/1001", 1920, 1080, 16));

        InputException refusal = Assert.Throws<InputException>(() => store.ReadoutFor("hall", FrameRate.Parse(rate), width, height));

        Assert.Contains("1920x1080 at 29.97", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_phone_s_wandering_rate_is_the_same_mode()
    {
        var store = new CameraStore(_folder);
        store.Save("phone", Mode("30", 1920, 1080, -20));

        Assert.Equal(-0.020, store.ReadoutFor("PHONE", FrameRate.FromRational(2983, 100), 1920, 1080).Seconds);
    }

    [Fact]
    public void A_global_shutter_stays_global()
    {
        var store = new CameraStore(_folder);
        store.Save("studio", new CameraMode("25", 1920, 1080, 0, 0, 0, null));

        Assert.True(store.ReadoutFor("studio", FrameRate.Parse("25"), 1920, 1080).IsGlobal);
    }

    [Fact]
    public void Saving_a_mode_again_replaces_it_and_keeps_the_others()
    {
        var store = new CameraStore(_folder);
        store.Save("hall", Mode("25", 1920, 1080, 16));
        store.Save("hall", Mode("50", 1920, 1080, 8));
        store.Save("hall", Mode("25", 1920, 1080, 15));

        Assert.Equal(2, store.Modes("hall").Count);
        Assert.Equal(0.015, store.ReadoutFor("hall", FrameRate.Parse("25"), 1920, 1080).Seconds);
        Assert.Equal(["hall"], store.Names());
    }

    [Fact]
    public void An_unknown_camera_is_named_with_those_known_and_the_way_to_store_it()
    {
        var store = new CameraStore(_folder);
        store.Save("hall", Mode("25", 1920, 1080, 16));

        InputException refusal = Assert.Throws<InputException>(() => store.Modes("hal"));

        Assert.Contains("'hal'", refusal.Message, StringComparison.Ordinal);
        Assert.Contains("stored are hall", refusal.Message, StringComparison.Ordinal);
        Assert.Contains("--save", refusal.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{ not json")]
    [InlineData("{ \"schema\": \"flickerprobe/cameras/9\", \"cameras\": {} }")]
    [InlineData("null")]
    public void A_damaged_file_is_refused_and_left_alone(string text)
    {
        var store = new CameraStore(_folder);
        File.WriteAllText(store.FilePath, text);

        InputException refusal = Assert.Throws<InputException>(() => store.Save("hall", Mode("25", 1920, 1080, 16)));

        Assert.Contains("cameras.json", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(text, File.ReadAllText(store.FilePath));
    }
}
