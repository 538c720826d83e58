using System.Globalization;
using System.Text.Json;
using FlickerProbe.Cli;
using FlickerProbe.Files.Results;
using Xunit;

namespace FlickerProbe.Tests.Cli;

/// <summary>The main job from end to end on clips of known light, through the real decoder.</summary>
public class MeasureTests(Clips clips) : IClassFixture<Clips>
{
    private static readonly string[] Settings = ["--shutter", "1/1000", "--readout", "16ms"];

    private string[] Pulsed(params string[] more) => ["measure", clips.Pulsed, .. Settings, .. more];

    [Fact]
    public async Task The_light_s_frequency_and_depth_come_out_and_the_verdict_follows()
    {
        CliRun run = await CliRun.OfAsync(Pulsed("--json", "-"));

        ResultDocument result = Parse(run);
        FixtureResult fixture = Assert.Single(result.Fixtures);
        LightResult light = Assert.Single(fixture.Levels).Light;
        // Truth: the recipe of the rendered clip.
        Assert.Equal(437, light.FundamentalHz!.Value.Value, 437 * 2e-4);
        Assert.True(light.FundamentalHz.Value.Holds(437));
        Assert.Equal(0.3, light.ModulationDepth!.Value.Value, 0.015);
        Assert.Equal("fail", fixture.Verdict);
        Assert.Equal(ExitStatus.Done, run.Status);
    }

    [Fact]
    public async Task Json_on_standard_output_is_all_there_is()
    {
        CliRun run = await CliRun.OfAsync(Pulsed("--json", "-"));

        Assert.Empty(run.Output);
        Assert.Equal("flickerprobe/result/1", JsonDocument.Parse(run.RawOutput).RootElement.GetProperty("schema").GetString());
        Assert.NotEqual(0xEF, run.RawOutput[0]); // no byte order mark
    }

    [Fact]
    public async Task A_still_has_no_frame_rate_and_nothing_that_needs_one()
    {
        string png = clips.StillOfPulsed, json = clips.At("still-result.json");
        CliRun run = await CliRun.OfAsync(["measure", png, .. Settings, "--json", json]);
        Assert.Equal(ExitStatus.Done, run.Status);
        ResultDocument result = ResultJson.ReadFile(json, strict: true);
        FixtureResult fixture = result.Fixtures[0];
        TakeResult take = fixture.Levels[0].Takes[0];
        Assert.Null(take.FrameRate);
        Assert.Null(take.SlowestBeatHz);
        Assert.NotEmpty(take.Tones);
        Assert.All(take.Tones, tone => Assert.Null(tone.AliasHz));
        Assert.All(fixture.Levels[0].Light.Blind, blind => Assert.Null(blind.FrameRate));
        FormatResult format = Assert.Single(fixture.Levels[0].Formats);
        Assert.Null(format.FrameRate);
        Assert.Empty(format.BeatHz);
        Assert.Equal(437 * 0.016, format.Bands!.Value, 0.1);
        Assert.NotEqual("pass", fixture.Verdict);
        Assert.DoesNotContain(" fps", run.Output.Replace("25 fps", " fps", StringComparison.Ordinal), StringComparison.Ordinal);

        // Read back, it is still a still; asked about a real format it gives beats again.
        CliRun asked = await CliRun.OfAsync(["forecast", json, "--format", "25@1/1000@16ms", "--json", "-"]);
        FormatResult real = Parse(asked).Fixtures[0].Levels[0].Formats[0];
        Assert.Equal("25", real.FrameRate);
        Assert.NotEmpty(real.BeatHz);
        CliRun again = await CliRun.OfAsync(["forecast", json, "--json", "-"]);
        Assert.Null(Parse(again).Fixtures[0].Levels[0].Formats[0].FrameRate);
        Assert.Equal("25", Parse(await CliRun.OfAsync(["measure", png, .. Settings, "--frame-rate", "25", "--json", "-"])).Fixtures[0].Levels[0].Takes[0].FrameRate);
    }

    [Fact]
    public async Task Json_in_a_file_is_the_same_as_on_standard_output_but_for_the_time()
    {
        string file = clips.At("pulsed-result.json");
        CliRun toFile = await CliRun.OfAsync(Pulsed("--json", file));
        CliRun toOutput = await CliRun.OfAsync(Pulsed("--json", "-"));

        Assert.Equal(WithoutTime(await File.ReadAllTextAsync(file)), WithoutTime(toOutput.AllOutput));
        Assert.Contains("FAIL", toFile.Output, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task The_report_is_one_page_with_its_result_and_pictures_beside_it()
    {
        string folder = clips.At("pulsed report");
        CliRun run = await CliRun.OfAsync(Pulsed("--report", folder));

        Assert.Equal(ExitStatus.Done, run.Status);
        Assert.Contains(Path.Combine(folder, "report.html"), run.Output, StringComparison.Ordinal);
        Assert.True(File.Exists(Path.Combine(folder, "result.json")));
        Assert.NotEmpty(Directory.EnumerateFiles(folder, "*.png", SearchOption.AllDirectories));
        string page = await File.ReadAllTextAsync(Path.Combine(folder, "report.html"));
        Assert.DoesNotContain("src=\"http", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain(Directory.EnumerateFiles(folder, "*.part", SearchOption.AllDirectories), _ => true);
    }

    [Theory]
    [InlineData("fail", ExitStatus.VerdictTooBad)]
    [InlineData("watch", ExitStatus.VerdictTooBad)]
    public async Task A_bad_verdict_is_an_exit_status_when_asked(string line, int status)
    {
        CliRun run = await CliRun.OfAsync(Pulsed("--fail-on", line));

        Assert.Equal(status, run.Status);
    }

    [Fact]
    public async Task Steady_light_does_not_fail()
    {
        CliRun run = await CliRun.OfAsync("measure", clips.Steady, "--shutter", "1/250", "--readout", "16ms", "--json", "-", "--fail-on", "fail");

        Assert.Equal(ExitStatus.Done, run.Status);
        Assert.NotEqual("fail", Parse(run).Fixtures[0].Verdict);
    }

    [Fact]
    public async Task Formats_regions_names_and_levels_are_carried_into_the_result()
    {
        CliRun run = await CliRun.OfAsync(Pulsed(
            "--format", "25@1/50", "--format", "59.94@180deg@8ms", "--format", "25@0.004s@global",
            "--region", "left=20,20,120,140", "--region", "180,20,120,140", "--fixture", "Key", "--dimmer", "50%", "--json", "-"));

        ResultDocument result = Parse(run);
        Assert.Equal(["left", "Key 2"], result.Fixtures.Select(f => f.Name));
        LevelResult level = result.Fixtures[0].Levels[0];
        Assert.Equal(0.5, level.Dimmer);
        Assert.Equal(["25", "60000/1001", "25"], level.Formats.Select(f => f.FrameRate));
        Assert.Equal([0.016, 0.008, 0.0], level.Formats.Select(f => f.ReadoutTime!.Value));
        Assert.Equal(1001.0 / 120000, level.Formats[1].ExposureTime!.Value, 1e-12);
        Assert.Equal(new RegionResult(20, 20, 120, 140), level.Takes[0].Region);
        Assert.Equal(64, level.Takes[0].Sha256.Length);
        Assert.Equal(75, level.Takes[0].Frames);
    }

    [Fact]
    public async Task Without_shutter_and_readout_they_are_unknown_and_not_nought()
    {
        CliRun run = await CliRun.OfAsync("measure", clips.Pulsed, "--json", "-");

        TakeResult take = Parse(run).Fixtures[0].Levels[0].Takes[0];
        Assert.Null(take.ExposureTime);
        Assert.Null(take.ReadoutTime);
        Assert.Contains(take.Warnings, w => w.Code == "shutter-unknown");
        Assert.Contains(take.Warnings, w => w.Code == "readout-unknown");
        Assert.NotEqual("pass", Parse(run).Fixtures[0].Verdict);
    }

    [Fact]
    public async Task The_user_s_frame_rate_overrules_the_clip_s()
    {
        CliRun run = await CliRun.OfAsync("measure", clips.Pulsed, "--frame-rate", "119.88", "--shutter", "1/1000", "--json", "-");

        Assert.Equal("120000/1001", Parse(run).Fixtures[0].Levels[0].Takes[0].FrameRate);
    }

    [Fact]
    public async Task A_language_with_a_decimal_comma_changes_nothing()
    {
        CliRun plain = await CliRun.OfAsync(Pulsed("--json", "-"));
        CliRun plainText = await CliRun.OfAsync(Pulsed());
        CultureInfo before = CultureInfo.CurrentCulture;
        CultureInfo.CurrentCulture = CultureInfo.CurrentUICulture = new CultureInfo("de-DE");
        CultureInfo.DefaultThreadCurrentCulture = CultureInfo.CurrentCulture;
        try
        {
            CliRun german = await CliRun.OfAsync(Pulsed("--json", "-"));
            CliRun germanText = await CliRun.OfAsync(Pulsed());

            Assert.Equal(WithoutTime(plain.AllOutput), WithoutTime(german.AllOutput));
            Assert.Equal(plainText.Output, germanText.Output);
        }
        finally
        {
            CultureInfo.CurrentCulture = CultureInfo.CurrentUICulture = before;
            CultureInfo.DefaultThreadCurrentCulture = null;
        }
    }

    [Fact]
    public async Task Interrupted_work_ends_with_130_and_leaves_nothing_behind()
    {
        string json = clips.At("interrupted.json");
        using var interrupt = new CancellationTokenSource();
        await interrupt.CancelAsync();

        CliRun run = await CliRun.OfAsync(Pulsed("--json", json), "", interrupt.Token);

        Assert.Equal(ExitStatus.Interrupted, run.Status);
        Assert.StartsWith("Interrupted", run.Refusal, StringComparison.Ordinal);
        Assert.False(File.Exists(json));
    }

    private static ResultDocument Parse(CliRun run)
    {
        Assert.True(run.AllOutput.Length > 0, run.Error);
        return ResultJson.Read(run.AllOutput, "standard output", strict: true);
    }

    private static string WithoutTime(string json) => string.Join('\n', json.Split('\n').Where(line => !line.Contains("\"created\"", StringComparison.Ordinal)));
}
