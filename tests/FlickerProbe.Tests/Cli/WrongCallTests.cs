using FlickerProbe.Cli;
using Xunit;

namespace FlickerProbe.Tests.Cli;

/// <summary>A call that is wrong ends with 2 and one plain sentence that names what was found and the way out.</summary>
public class WrongCallTests
{
    [Theory]
    [InlineData("Say what to do")]
    [InlineData("'mesure' is not a command", "mesure", "clip.mp4")]
    [InlineData("did you mean measure?", "mesure", "clip.mp4")]
    [InlineData("needs CLIP", "measure")]
    [InlineData("'--shuter' is not an option of flickerprobe measure (did you mean --shutter?)", "measure", "clip.mp4", "--shuter", "1/50")]
    [InlineData("'--shuter' is not an option of flickerprobe measure (did you mean --shutter?)", "measure", "--shuter", "1/50", "clip.mp4")]
    [InlineData("--shutter needs a value (TIME)", "measure", "clip.mp4", "--shutter")]
    [InlineData("--shutter is there 2 times", "measure", "clip.mp4", "--shutter", "1/50", "--shutter", "1/60")]
    [InlineData("'other.mp4' is one argument too many", "measure", "clip.mp4", "other.mp4")]
    [InlineData("'3' is not a shutter", "measure", "clip.mp4", "--shutter", "3")]
    [InlineData("'1/0' is not a shutter", "measure", "clip.mp4", "--shutter", "1/0")]
    [InlineData("'-4ms' is not a shutter", "measure", "clip.mp4", "--shutter", "-4ms")]
    [InlineData("'0,004s' is not a shutter", "measure", "clip.mp4", "--shutter", "0,004s")]
    [InlineData("'NaNs' is not a shutter", "measure", "clip.mp4", "--shutter", "NaNs")]
    [InlineData("between 0 and 360 degrees", "measure", "clip.mp4", "--shutter", "400deg")]
    [InlineData("'16' is not a readout time", "measure", "clip.mp4", "--readout", "16")]
    [InlineData("not possible for video", "measure", "clip.mp4", "--readout", "16s")]
    [InlineData("'0' is not a frame rate", "measure", "clip.mp4", "--frame-rate", "0")]
    [InlineData("'-25' is not a frame rate", "measure", "clip.mp4", "--frame-rate", "-25")]
    [InlineData("'25/0' is not a frame rate", "measure", "clip.mp4", "--frame-rate", "25/0")]
    [InlineData("'1e9' is not a frame rate", "measure", "clip.mp4", "--frame-rate", "1e9")]
    [InlineData("'fast' is not a frame rate", "measure", "clip.mp4", "--frame-rate", "fast")]
    [InlineData("'1,2,3' is not a region", "measure", "clip.mp4", "--region", "1,2,3")]
    [InlineData("'1,2,0,4' is not a region", "measure", "clip.mp4", "--region", "1,2,0,4")]
    [InlineData("'-1,2,3,4' is not a region", "measure", "clip.mp4", "--region", "-1,2,3,4")]
    [InlineData("'25' is not a format", "measure", "clip.mp4", "--format", "25")]
    [InlineData("longer than one frame at 50", "measure", "clip.mp4", "--format", "50@1/25")]
    [InlineData("'warm' is not a range: write limited or full", "measure", "clip.mp4", "--range", "warm")]
    [InlineData("'bt710' is not a transfer curve", "measure", "clip.mp4", "--transfer", "bt710")]
    [InlineData("'missing.cube' is not there", "measure", "clip.mp4", "--cube", "missing.cube")]
    [InlineData("--readout and --camera both", "measure", "clip.mp4", "--readout", "16ms", "--camera", "hall")]
    [InlineData("'pass' is not a verdict to fail on", "measure", "clip.mp4", "--fail-on", "pass")]
    [InlineData("'150%' is not a dimmer level", "measure", "clip.mp4", "--dimmer", "150%")]
    public async Task It_is_refused_in_one_sentence(string part, params string[] call)
    {
        CliRun run = await CliRun.OfAsync(call);

        Assert.Equal(ExitStatus.CallIsWrong, run.Status);
        Assert.Contains(part, run.Error, StringComparison.Ordinal);
        Assert.Single(run.Error.TrimEnd().Split('\n'));
        Assert.EndsWith(".", run.Refusal, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        Assert.Empty(run.AllOutput);
    }

    [Fact]
    public async Task A_name_with_an_at_sign_is_a_name_and_no_list_of_arguments()
    {
        CliRun run = await CliRun.OfAsync("measure", "@evening.mp4");

        Assert.Equal(ExitStatus.NothingMeasurable, run.Status);
        Assert.Contains("'@evening.mp4'", run.Refusal, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Steering_characters_of_a_name_do_not_reach_the_terminal()
    {
        CliRun run = await CliRun.OfAsync("measure", "a\u001b]0;b\u0007.mp4");

        Assert.Equal(ExitStatus.NothingMeasurable, run.Status);
        Assert.Contains("a\\x1B]0;b\\x07.mp4", run.Refusal, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', run.Error);
    }
}
