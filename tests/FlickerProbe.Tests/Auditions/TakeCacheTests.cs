using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Pipeline;

namespace FlickerProbe.Tests.Auditions;

public class TakeCacheTests
{
    private const string One = """
        fixtures:
          - name: Ripple
            takes:
              - { clip: a.mp4, camera: hall, frame-rate: 25, shutter: 1/250, dimmer: 100% }
              - { clip: b.mp4, camera: hall, frame-rate: 25, shutter: 1/250, sweep: [50%, 10%] }

        """;

    private static AuditionFolder Folder()
    {
        var folder = new AuditionFolder();
        folder.Clip("a.mp4", "120 0.2");
        folder.Clip("b.mp4", "120 0.1 0.05");
        return folder;
    }

    [Fact]
    public void A_kept_measurement_gives_the_same_bytes()
    {
        using AuditionFolder folder = Folder();
        Audition audition = folder.Audition(One);
        AuditionOutcome first = AuditionFolder.Run(audition, new FakeMeasurer(), folder.Cache());
        var measurer = new FakeMeasurer();
        AuditionOutcome second = AuditionFolder.Run(audition, measurer, folder.Cache());
        Assert.Empty(measurer.Calls);
        Assert.Equal(2, second.FromCache);
        Assert.Equal(AuditionFolder.Json(first), AuditionFolder.Json(second));
        // Pictures come back too, to the last bit.
        var before = first.Result.Fixtures[0].Levels[1].Takes[0].Pictures!;
        var after = second.Result.Fixtures[0].Levels[1].Takes[0].Pictures!;
        Assert.Equal(before.StillPng, after.StillPng);
        Assert.Equal(before.Exhibit!.BandPicture.Cast<float>(), after.Exhibit!.BandPicture.Cast<float>());
        Assert.Equal(before.Exhibit.SpectrumAmplitude, after.Exhibit.SpectrumAmplitude);
    }

    [Theory]
    [InlineData("name: Ripple", "name: Wash\n    price: 12 EUR")]
    [InlineData("dimmer: 100%", "dimmer: 90%")]
    public void What_the_clip_does_not_depend_on_is_not_measured_again(string before, string after)
    {
        using AuditionFolder folder = Folder();
        AuditionFolder.Run(folder.Audition(One), new FakeMeasurer(), folder.Cache());
        var measurer = new FakeMeasurer();
        AuditionOutcome outcome = AuditionFolder.Run(folder.Audition(One.Replace(before, after, StringComparison.Ordinal), AuditionFolder.Head.Replace("1/60", "1/100", StringComparison.Ordinal)), measurer, folder.Cache());
        Assert.Empty(measurer.Calls);
        Assert.Equal(0.01, outcome.Result.Fixtures[0].Levels[0].Formats[1].ExposureTime!.Value, 9);
        if (after.StartsWith("dimmer", StringComparison.Ordinal)) Assert.Equal(0.9, outcome.Result.Fixtures[0].Levels[0].Dimmer);
    }

    [Theory]
    [InlineData("shutter: 1/250, dimmer", "shutter: 1/320, dimmer")]
    [InlineData("dimmer: 100%", "dimmer: 100%, region: [0, 0, 10, 10]")]
    [InlineData("frame-rate: 25, shutter: 1/250, dimmer", "frame-rate: 24, shutter: 1/250, dimmer")]
    [InlineData("sweep: [50%, 10%]", "sweep: [60%, 10%]")]
    [InlineData("dimmer: 100%", "dimmer: 100%, reference: b.mp4")]
    public void What_it_does_depend_on_is(string before, string after)
    {
        using AuditionFolder folder = Folder();
        AuditionFolder.Run(folder.Audition(One), new FakeMeasurer(), folder.Cache());
        var measurer = new FakeMeasurer();
        AuditionFolder.Run(folder.Audition(One.Replace(before, after, StringComparison.Ordinal)), measurer, folder.Cache());
        Assert.Single(measurer.Calls);
    }

    [Fact]
    public void A_changed_readout_is_measured_again()
    {
        using AuditionFolder folder = Folder();
        AuditionFolder.Run(folder.Audition(One), new FakeMeasurer(), folder.Cache());
        var measurer = new FakeMeasurer();
        AuditionFolder.Run(folder.Audition(One, AuditionFolder.Head.Replace("16ms", "15ms", StringComparison.Ordinal)), measurer, folder.Cache());
        Assert.Equal(2, measurer.Calls.Count);
    }

    [Fact]
    public void A_changed_clip_is_measured_again_even_under_its_old_time()
    {
        using AuditionFolder folder = Folder();
        Audition audition = folder.Audition(One);
        AuditionFolder.Run(audition, new FakeMeasurer(), folder.Cache());
        folder.Clip("a.mp4", "120 0.25"); // another length, the same time stamp
        var measurer = new FakeMeasurer();
        AuditionFolder.Run(audition, measurer, folder.Cache());
        Assert.Equal(["a.mp4"], measurer.Calls);
    }

    [Fact]
    public void A_clip_written_a_moment_ago_is_hashed_again()
    {
        using AuditionFolder folder = Folder();
        File.WriteAllText(folder.File("a.mp4"), "120 0.3");
        string before = folder.Cache().Sha256(folder.File("a.mp4"), default);
        DateTime stamp = File.GetLastWriteTimeUtc(folder.File("a.mp4"));
        File.WriteAllText(folder.File("a.mp4"), "120 0.4");
        File.SetLastWriteTimeUtc(folder.File("a.mp4"), stamp);
        Assert.NotEqual(before, folder.Cache().Sha256(folder.File("a.mp4"), default));
    }

    [Fact]
    public void A_clip_that_was_renamed_is_not_measured_again()
    {
        using AuditionFolder folder = Folder();
        AuditionFolder.Run(folder.Audition(One), new FakeMeasurer(), folder.Cache());
        File.Move(folder.File("a.mp4"), folder.File("c.mp4"));
        var measurer = new FakeMeasurer();
        AuditionOutcome outcome = AuditionFolder.Run(folder.Audition(One.Replace("a.mp4", "c.mp4", StringComparison.Ordinal)), measurer, folder.Cache());
        Assert.Empty(measurer.Calls);
        Assert.Equal("c.mp4", outcome.Result.Fixtures[0].Levels[0].Takes[0].Clip);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(40)]
    [InlineData(64)]
    [InlineData(300)]
    public void A_damaged_entry_is_measured_again_and_mended(int keptBytes)
    {
        using AuditionFolder folder = Folder();
        Audition audition = folder.Audition(One);
        string whole = AuditionFolder.Json(AuditionFolder.Run(audition, new FakeMeasurer(), folder.Cache()));
        foreach (string entry in Directory.GetFiles(folder.File(TakeCache.FolderName)))
        {
            byte[] bytes = File.ReadAllBytes(entry);
            if (keptBytes == 300 && bytes.Length > 300) bytes[250] ^= 1; // one bit, same length
            File.WriteAllBytes(entry, keptBytes == 300 ? bytes : bytes[..Math.Min(keptBytes, bytes.Length)]);
        }
        var measurer = new FakeMeasurer();
        Assert.Equal(whole, AuditionFolder.Json(AuditionFolder.Run(audition, measurer, folder.Cache())));
        Assert.Equal(2, measurer.Calls.Count);
        Assert.Equal(2, AuditionFolder.Run(audition, new FakeMeasurer(), folder.Cache()).FromCache);
    }

    [Fact]
    public void Two_runs_at_once_do_not_disturb_each_other()
    {
        using AuditionFolder folder = Folder();
        Audition audition = folder.Audition(One);
        string[] results = [.. Enumerable.Range(0, 6).AsParallel().WithDegreeOfParallelism(6)
            .Select(_ => AuditionFolder.Json(AuditionFolder.Run(audition, new FakeMeasurer { OnStart = _ => Thread.Sleep(5) }, folder.Cache())))];
        Assert.Single(results.Distinct());
        Assert.Empty(Directory.GetFiles(folder.File(TakeCache.FolderName), "*.part"));
    }

    [Fact]
    public void A_folder_that_can_not_be_written_only_costs_time()
    {
        using AuditionFolder folder = Folder();
        Audition audition = folder.Audition(One);
        File.WriteAllText(folder.File(TakeCache.FolderName), "a file where the folder should be");
        Assert.Empty(AuditionFolder.Run(audition, new FakeMeasurer(), folder.Cache()).Failures);
    }

    [Fact]
    public void Numbers_alone_serve_a_run_without_pictures_but_not_one_with()
    {
        using AuditionFolder folder = Folder();
        Audition audition = folder.Audition(One);
        AuditionFolder.Run(audition, new FakeMeasurer(), folder.Cache(), new AuditionOptions { WithPictures = false });
        Assert.Equal(2, AuditionFolder.Run(audition, new FakeMeasurer(), folder.Cache(), new AuditionOptions { WithPictures = false }).FromCache);
        Assert.Equal(0, AuditionFolder.Run(audition, new FakeMeasurer(), folder.Cache()).FromCache);
    }

    [Fact]
    public void Brightness_alone_does_not_serve_a_run_that_wants_colours()
    {
        using AuditionFolder folder = Folder();
        Audition audition = folder.Audition(One);
        FakeMeasurer without = new(), with = new();
        AuditionFolder.Run(audition, without, folder.Cache(), new AuditionOptions { Colour = ColourMode.Off });
        Assert.Equal(0, AuditionFolder.Run(audition, with, folder.Cache()).FromCache);
        Assert.Equal([ColourMode.Off, ColourMode.Off], without.Colours);
        Assert.Equal([ColourMode.Auto, ColourMode.Auto], with.Colours);
    }
}
