using FlickerProbe.Camera;
using FlickerProbe.Cli;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Files.Yaml;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Tests.Cli;
using FlickerProbe.Tests.Properties;
using FlickerProbe.Tests.Reports;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Robustness;

/// <summary>Faults that hostile inputs once brought to light, each as small as it can be shown.</summary>
public sealed class FoundFaultTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory().FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory] // A rate of 1/512 was measured and written, and then could not be read again.
    [InlineData(1, 512)]
    [InlineData(1, 2)]
    [InlineData(1_000_000, 1)]
    public void A_stated_rate_that_no_camera_has_is_no_rate(long above, long below) =>
        Assert.Null(FrameRateChoice.Choose(FrameRate.FromRational(above, below), FrameRate.FromRational(above, below), null, 0));

    [Fact] // Empty ticks between the two pieces filled the memory.
    public void A_gap_of_days_leaves_the_longest_piece()
    {
        var scene = new Scene { Rate = FrameRate.Parse("25"), Hz = 217, Amplitude = 0.3, Phase = 0, ExposureSeconds = 0.001, ReadoutSeconds = 0.016, NoiseSeed = 1 };
        SampledTake take = scene.Take();
        double[] torn = [.. take.Times.Seconds!.Select((t, n) => n < 45 ? t : t + 1e6)];

        TakeMeasurement found = Scene.Measured(take with { Times = new FrameTimes(torn, 1e-6) });

        Assert.Contains(found.Findings, f => f.Code == FindingCodes.VariableRate);
        Assert.Equal(45, found.FramesUsed);
        Assert.Equal(scene.OnCamera, found.Tones[0].Amplitude.Value, 0.01 * scene.OnCamera);
    }

    [Fact] // A device states no length and never ends.
    public void Devices_are_no_files()
    {
        if (!File.Exists("/dev/zero")) return;
        Assert.Contains("larger than 1 MiB", Assert.Throws<InputException>(() => YamlReader.ReadFile("/dev/zero")).Message, StringComparison.Ordinal);
        Assert.Contains("larger than any", Assert.Throws<InputException>(() => CurveFile.Read("/dev/zero")).Message, StringComparison.Ordinal);
        Assert.Contains("larger than 64 MiB", Assert.Throws<InputException>(() => ResultJson.ReadFile("/dev/zero")).Message, StringComparison.Ordinal);
        Assert.Contains("no file of a fixed length", Assert.Throws<ClipException>(() => FileHash.Sha256("/dev/zero")).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("[null]", "a null stands in the list at $.fixtures")]
    [InlineData("[{\"name\":\"A\",\"verdict\":\"great\",\"reasons\":[],\"levels\":[]}]", "the verdict 'great'")]
    [InlineData("[],\"fixtures\":[]", "is not JSON")]
    public void A_result_is_not_believed_blindly(string fixtures, string says)
    {
        string text = $"{{\"schema\":\"flickerprobe/result/1\",\"tool\":{{\"version\":\"1\"}},\"fixtures\":{fixtures}}}";
        Assert.Contains(says, Assert.Throws<InputException>(() => ResultJson.Read(text, "r.json")).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("null")]
    [InlineData("[null]")]
    public void Stored_cameras_are_not_believed_blindly(string modes)
    {
        File.WriteAllText(Path.Combine(_folder, "cameras.json"), $"{{\"schema\":\"flickerprobe/cameras/1\",\"cameras\":{{\"hall\":{modes}}}}}");
        Assert.Throws<InputException>(() => new CameraStore(_folder).ReadoutFor("hall", FrameRate.Parse("25"), 64, 48));
    }

    [Fact]
    public void Files_that_belong_together_change_together()
    {
        string first = Path.Combine(_folder, "a"), blocked = Path.Combine(_folder, "file");
        File.WriteAllText(first, "old");
        File.WriteAllText(blocked, "");

        // A folder can't be made where a file is.
        Assert.Throws<InputException>(() => AtomicFile.WriteAll([(first, AtomicFile.Content([1])), (Path.Combine(blocked, "b"), AtomicFile.Content([2]))]));

        Assert.Equal("old", File.ReadAllText(first));
        Assert.Equal(2, Directory.GetFileSystemEntries(_folder).Length);
    }

    [Fact]
    public void Content_that_breaks_off_leaves_the_old_file()
    {
        string path = Path.Combine(_folder, "page");
        File.WriteAllText(path, "old");

        Assert.Throws<InputException>(() => AtomicFile.WriteAll([(path, stream => { stream.WriteByte(1); throw new IOException("No space left."); })]));

        Assert.Equal("old", File.ReadAllText(path));
        Assert.Single(Directory.GetFileSystemEntries(_folder));
    }

    [Fact]
    public void An_interrupted_report_is_none()
    {
        using var cancelled = new CancellationTokenSource();
        cancelled.Cancel();
        Assert.ThrowsAny<OperationCanceledException>(() => ReportWriter.Write(SampleDocuments.SingleClip(), _folder, new ReportOptions(), cancelled.Token));
        Assert.Empty(Directory.GetFileSystemEntries(_folder));
    }

    [Fact]
    public void A_picture_that_is_none_is_drawn_as_none() => Assert.Null(FlickerProbe.Files.Plots.PngPicture.Decode([1, 2, 3]));

    [Theory]
    [InlineData("measure", "")]
    [InlineData("audition", " ")]
    [InlineData("measure", "a.mp4", "--json", "")]
    public async Task An_empty_argument_is_a_wrong_call(params string[] arguments)
    {
        CliRun run = await CliRun.OfAsync(arguments);
        Assert.Equal(ExitStatus.CallIsWrong, run.Status);
        Assert.StartsWith("One argument is empty", run.Refusal, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_sentence_stays_readable_whatever_it_quotes()
    {
        CliRun run = await CliRun.OfAsync("measure", "a.mp4", "--shutter", new string('9', 100_000));
        Assert.Equal(ExitStatus.CallIsWrong, run.Status);
        Assert.InRange(run.Refusal.Length, 50, 1300);
        Assert.Contains(" … ", run.Refusal, StringComparison.Ordinal);
    }
}
