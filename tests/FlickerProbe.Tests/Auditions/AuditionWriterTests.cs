using FlickerProbe.Camera;
using FlickerProbe.Files.Auditions;
using FlickerProbe.Planning;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Auditions;

public class AuditionWriterTests
{
    internal static ShotPlan Plan(string? readout = null, bool dark = false) => Planner.Plan(new PlanRequest(
        50,
        [new PlanCamera("hall: left", [FrameRate.Parse("25"), FrameRate.Parse("29.97")], ["1/50", "1/100", "1/250", "1/320"], readout is null ? null : ReadoutTime.Parse(readout))],
        [CameraFormat.Parse("25@1/50") with { CameraName = "hall: left" }, CameraFormat.Parse("29.97@1/60@12ms")],
        ["Wash A", "Wash \"B\" #2"], [1, 0.5, 0.333], dark) { Title = "Hall: spring" });

    [Theory]
    [InlineData(null, true)]
    [InlineData("15.5ms+-0.2ms", false)]
    [InlineData("global", true)]
    public void A_starter_file_reads_back_and_is_valid(string? readout, bool dark)
    {
        ShotPlan plan = Plan(readout, dark);
        string text = AuditionWriter.Starter(plan);
        Assert.StartsWith("# yaml-language-server: $schema=", text, StringComparison.Ordinal);
        Assert.True(AuditionSchemaTests.Accepts(text), text);
        Audition audition = AuditionReader.Parse(text, "starter.yaml");
        Assert.Equal("Hall: spring", audition.Title);
        Assert.Equal(plan.Request.Fixtures, audition.Fixtures.Select(f => f.Name));
        Assert.Equal(readout is null ? null : ReadoutTime.Parse(readout).Seconds, audition.Cameras[0].Readout?.Seconds);
        Assert.Equal(0.012, audition.Formats[1].Readout!.Seconds);
        Assert.Equal("hall: left", audition.Formats[0].CameraName);
        foreach (AuditionFixture fixture in audition.Fixtures)
        {
            PlannedTake[] planned = [.. plan.Takes.Where(t => t.Fixture == fixture.Name)];
            Assert.Equal(planned.Select(t => t.ClipName), fixture.Takes.Select(t => t.Clip));
            Assert.Equal(planned.Select(t => t.Setting.Rate), fixture.Takes.Select(t => t.Rate));
            Assert.Equal(planned.Select(t => t.Setting.Shutter), fixture.Takes.Select(t => t.Shutter));
            Assert.Equal(planned.Select(t => t.ReferenceClip), fixture.Takes.Select(t => t.Reference));
            Assert.All(fixture.Takes, t => Assert.Equal([1, 0.5, 0.333], t.Sweep));
        }
    }

    [Fact]
    public void The_same_plan_gives_the_same_bytes() => Assert.Equal(AuditionWriter.Starter(Plan()), AuditionWriter.Starter(Plan()));

    [Theory]
    [InlineData("plain words")]
    [InlineData("100% # not a comment")]
    [InlineData("key: value")]
    [InlineData("null")]
    [InlineData("yes")]
    [InlineData(" leading")]
    [InlineData("trailing ")]
    [InlineData("quote \" and \\ and \t tab")]
    [InlineData("- dash")]
    [InlineData("*alias")]
    [InlineData("Ünïcode – dash")]
    [InlineData("7")]
    public void Any_text_survives_writing(string text) =>
        Assert.Equal(text, Files.Yaml.YamlReader.Parse($"key: {YamlText.Quote(text)}\n", "t").RequiredText("key", "it"));
}
