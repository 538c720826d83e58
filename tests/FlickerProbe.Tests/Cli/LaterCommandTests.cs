using FlickerProbe.Cli;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Tests.Cli;

/// <summary>What can be done with a result, a lamp and an audition file.</summary>
public class LaterCommandTests(Clips clips) : IClassFixture<Clips>
{
    [Fact]
    public async Task A_forecast_from_the_file_is_what_measuring_would_have_said()
    {
        string[] formats = ["--format", "25@1/50", "--format", "50@1/100@8ms"];
        string file = clips.At("for-forecast.json");
        await CliRun.OfAsync("measure", clips.Pulsed, "--shutter", "1/1000", "--readout", "16ms", "--json", file);
        CliRun measured = await CliRun.OfAsync(["measure", clips.Pulsed, "--shutter", "1/1000", "--readout", "16ms", "--json", "-", .. formats]);

        CliRun forecast = await CliRun.OfAsync(["forecast", file, "--json", "-", .. formats]);

        Assert.Equal(ExitStatus.Done, forecast.Status);
        FormatResult[] expected = [.. Read(measured).Fixtures[0].Levels[0].Formats], found = [.. Read(forecast).Fixtures[0].Levels[0].Formats];
        Assert.Equal(expected.Select(f => (f.FrameRate, f.ExposureTime, f.ReadoutTime, f.Verdict)), found.Select(f => (f.FrameRate, f.ExposureTime, f.ReadoutTime, f.Verdict)));
        Assert.Equal(expected.Select(f => f.ModulationDepth), found.Select(f => f.ModulationDepth));
    }

    [Theory]
    [InlineData("{ \"schema\": \"flickerprobe/result/9\" }", "newer flickerprobe")]
    [InlineData("{ \"schema\": \"something\" }", "is not a flickerprobe result")]
    [InlineData("{ not json", "is not JSON")]
    public async Task A_file_that_is_no_result_is_a_wrong_call(string text, string part)
    {
        string file = clips.At("no-result.json");
        await File.WriteAllTextAsync(file, text);

        CliRun run = await CliRun.OfAsync("forecast", file, "--format", "25@1/50");

        Assert.Equal(ExitStatus.CallIsWrong, run.Status);
        Assert.Contains(part, run.Refusal, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_lamp_of_known_rate_gives_the_readout_ready_for_use()
    {
        CliRun run = await CliRun.OfAsync("calibrate", clips.MainsLamp, "--known", "120Hz", "--shutter", "1/1000");

        Assert.Equal(ExitStatus.Done, run.Status);
        string setting = run.Output.TrimEnd().Split('\n')[^1];
        Assert.StartsWith("--readout ", setting, StringComparison.Ordinal);
        // Truth: the recipe of the rendered clip, 16 ms, top to bottom.
        double seconds = Camera.ReadoutTime.Parse(setting["--readout ".Length..].Trim()).Seconds;
        Assert.Equal(0.016, seconds, 0.016 * 0.005);
    }

    [Fact]
    public async Task A_lamp_that_does_not_flicker_at_that_rate_is_refused()
    {
        CliRun run = await CliRun.OfAsync("calibrate", clips.Steady, "--known", "120Hz");

        Assert.Equal(ExitStatus.NothingMeasurable, run.Status);
        Assert.Contains("shows no light of 120 Hz", run.Refusal, StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_broken_take_does_not_lose_the_others()
    {
        string file = clips.At("evening.yaml"), folder = clips.At("evening");
        await File.WriteAllTextAsync(file, $$"""
            schema: flickerprobe/audition/1
            title: An evening
            formats: [{ camera: hall, frame-rate: 25, shutter: 1/500 }]
            cameras: { hall: { readout: 16ms } }
            fixtures:
              - name: Pulser
                price: 100 EUR
                takes: [{ clip: {{Path.GetFileName(clips.Pulsed)}}, camera: hall, shutter: 1/1000, dimmer: 50% }]
              - name: Lost
                takes: [{ clip: lost.mp4, camera: hall, shutter: 1/250, dimmer: 100% }]
            """);

        CliRun run = await CliRun.OfAsync("audition", file, "--out", folder);

        Assert.Equal(ExitStatus.Done, run.Status);
        Assert.Contains("line 10: ", run.Error, StringComparison.Ordinal);
        Assert.Contains("lost.mp4", run.Error, StringComparison.Ordinal);
        ResultDocument result = ResultJson.ReadFile(Path.Combine(folder, "result.json"), strict: true);
        Assert.Equal("fail", result.Fixtures.Single(f => f.Name == "Pulser").Verdict);
        Assert.Equal("watch", result.Fixtures.Single(f => f.Name == "Lost").Verdict);
        Assert.All(["report.html", "report.pdf", "takes.csv"], name => Assert.True(File.Exists(Path.Combine(folder, name)), name));
    }

    [Fact]
    public async Task An_unknown_key_names_file_line_and_the_nearest_one()
    {
        string file = clips.At("typo.yaml");
        await File.WriteAllTextAsync(file, "schema: flickerprobe/audition/1\nfixtures:\n  - name: Key\n    tekes: []\n");

        CliRun run = await CliRun.OfAsync("audition", file);

        Assert.Equal(ExitStatus.CallIsWrong, run.Status);
        Assert.Contains("typo.yaml", run.Refusal, StringComparison.Ordinal);
        Assert.Contains("4", run.Refusal, StringComparison.Ordinal);
        Assert.Contains("takes", run.Refusal, StringComparison.Ordinal);
    }

    private static ResultDocument Read(CliRun run) => ResultJson.Read(run.AllOutput, "standard output", strict: true);
}
