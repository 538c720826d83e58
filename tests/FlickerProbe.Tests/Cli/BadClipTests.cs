using FlickerProbe.Cli;
using Xunit;

namespace FlickerProbe.Tests.Cli;

/// <summary>A clip that can't be measured as asked: one sentence, the contract's status, nothing written.</summary>
public class BadClipTests(Clips clips) : IClassFixture<Clips>
{
    [Fact]
    public Task A_missing_file() => Refused(clips.At("nowhere.mp4"), ExitStatus.NothingMeasurable, "nowhere.mp4' is not there");

    [Fact]
    public Task A_folder() => Refused(clips.Folder, ExitStatus.NothingMeasurable, "is a folder");

    [Fact]
    public Task Zero_bytes()
    {
        File.WriteAllBytes(clips.At("empty.mp4"), []);
        return Refused(clips.At("empty.mp4"), ExitStatus.NothingMeasurable, "is empty (0 bytes)");
    }

    [Fact]
    public Task Not_a_video()
    {
        byte[] noise = new byte[100_000];
        new Random(5).NextBytes(noise);
        File.WriteAllBytes(clips.At("noise.bin"), noise);
        return Refused(clips.At("noise.bin"), ExitStatus.NothingMeasurable, "is not a video or a picture");
    }

    [Fact]
    public Task Sound_alone() => Refused(clips.Sound, ExitStatus.NothingMeasurable, "holds no video, only sound");

    [Fact]
    public Task Cut_off_before_its_index()
    {
        byte[] whole = File.ReadAllBytes(clips.Pulsed);
        File.WriteAllBytes(clips.At("cut.mp4"), whole[..(whole.Length / 3)]);
        return Refused(clips.At("cut.mp4"), ExitStatus.NothingMeasurable, "cut.mp4' breaks off before its index");
    }

    [Fact]
    public Task A_region_outside_the_picture() =>
        Refused(clips.Pulsed, ExitStatus.CallIsWrong, "does not fit into the picture of 'pulsed.mp4', which is 320 pixels wide and 180 high", "--region", "300,0,40,40");

    [Fact]
    public Task A_shutter_longer_than_the_frame() =>
        Refused(clips.Pulsed, ExitStatus.CallIsWrong, "A shutter of 1/10 is longer than one frame at 25", "--shutter", "1/10");

    [Fact]
    public Task A_readout_longer_than_the_frame() =>
        Refused(clips.Pulsed, ExitStatus.CallIsWrong, "longer than one frame at 25", "--readout", "50ms");

    [Fact]
    public Task A_camera_that_nobody_stored() =>
        Refused(clips.Pulsed, ExitStatus.CallIsWrong, "There is no camera called 'no such camera'", "--camera", "no such camera");

    [Fact]
    public Task A_missing_reference() =>
        Refused(clips.Pulsed, ExitStatus.NothingMeasurable, "off.mp4' is not there", "--reference", clips.At("off.mp4"));

    [Fact]
    public async Task A_policy_with_an_unknown_key_names_its_line_and_the_nearest_key()
    {
        string policy = clips.At("policy.yaml");
        File.WriteAllText(policy, "schema: flickerprobe/policy/1\ndepht: { pass: 1% }\n");

        await Refused(clips.Pulsed, ExitStatus.CallIsWrong, "depth", "--policy", policy);
    }

    [Theory]
    [InlineData("with space.mp4")]
    [InlineData("it's \"quoted\".mp4")]
    [InlineData("-dash.mp4")]
    [InlineData("Bühne 舞台.mp4")]
    [InlineData("a:b %03d [x] {y} $(z);.mp4")]
    [InlineData("x\" -f null - -y \"y.mp4")]
    public async Task Odd_names_are_just_names(string name)
    {
        if (OperatingSystem.IsWindows() && name.IndexOfAny(Path.GetInvalidFileNameChars()) >= 0) return;
        string odd = clips.At(name);
        File.Copy(clips.Pulsed, odd, overwrite: true);

        CliRun run = await CliRun.OfAsync("measure", odd, "--shutter", "1/1000", "--readout", "16ms", "--region", "40,20,240,140");

        Assert.Equal(ExitStatus.Done, run.Status);
    }

    private async Task Refused(string clip, int status, string part, params string[] more)
    {
        string json = clips.At("result.json"), report = clips.At("report");
        CliRun run = await CliRun.OfAsync(["measure", clip, "--json", json, "--report", report, .. more]);

        Assert.Contains(part, run.Refusal, StringComparison.Ordinal);
        Assert.Equal(status, run.Status);
        Assert.EndsWith(".", run.Refusal, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        Assert.Empty(run.AllOutput);
        Assert.False(File.Exists(json) || Directory.Exists(report), "Something was written although nothing was measured.");
    }
}
