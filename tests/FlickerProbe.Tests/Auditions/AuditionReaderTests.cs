using FlickerProbe.Files.Auditions;
using FlickerProbe.Footage;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Auditions;

public class AuditionReaderTests
{
    /// <summary>The example of the file's description, word for word.</summary>
    internal const string Example = """
        schema: flickerprobe/audition/1
        title: Lecture hall wash, spring           # free text
        mains: 60Hz                                # optional
        formats:                                   # what the venue shoots: the verdict is for these
          - { camera: hall, frame-rate: 29.97, shutter: 1/60 }
          - { camera: hall, frame-rate: 29.97, shutter: 1/100 }
        cameras:
          hall: { readout: 16ms }                  # or global; left out: unknown; `flickerprobe calibrate` finds it
        fixtures:
          - name: Wash A
            price: 240 EUR                         # optional, with anything else for the decision: mode, firmware, notes…
            levels-used: [100%, 50%, 10%]          # optional: which levels the verdict is for; else all measured
            takes:
              - { clip: a-100.mp4, camera: hall, frame-rate: 29.97, shutter: 1/250, dimmer: 100%, region: [160, 36, 320, 288] }
              - { clip: a-steps.mp4, camera: hall, shutter: 1/250, sweep: [100%, 50%, 25%, 10%], reference: off.mp4 }
        """;

    private static Audition Parse(string text) => AuditionReader.Parse(text, "hall/spring.yaml");

    private static string Refusal(string text) => Assert.Throws<InputException>(() => Parse(text)).Message;

    [Fact]
    public void The_described_example_reads_as_described()
    {
        Audition audition = Parse(Example);
        Assert.Equal(60, audition.MainsHz);
        Assert.Equal(["30000/1001", "30000/1001"], audition.Formats.Select(f => f.Rate.ToString()));
        Assert.Equal(0.016, audition.Formats[0].Readout!.Seconds);
        AuditionFixture fixture = Assert.Single(audition.Fixtures);
        Assert.Equal("240 EUR", fixture.Price);
        Assert.Equal([1, 0.5, 0.1], fixture.LevelsUsed);
        Assert.Equal(new Region(160, 36, 320, 288), fixture.Takes[0].Region);
        Assert.Equal(Path.GetFullPath("hall/a-100.mp4"), fixture.Takes[0].ClipPath);
        Assert.Equal([1, 0.5, 0.25, 0.1], fixture.Takes[1].Sweep);
        Assert.Null(fixture.Takes[1].Rate);
        Assert.Equal(Path.GetFullPath("hall/off.mp4"), fixture.Takes[1].ReferencePath);
        Assert.Equal(15, fixture.Takes[1].Line);
        Assert.Empty(audition.Remarks);
    }

    [Theory]
    [InlineData("    price: 240 EUR", "    prize: 240 EUR", "hall/spring.yaml, line 11: 'prize' is not known in a fixture: did you mean 'price'?")]
    [InlineData("title:", "titel:", "line 2: 'titel' is not known in an audition file: did you mean 'title'?")]
    [InlineData("shutter: 1/250, dimmer", "shuter: 1/250, dimmer", "line 14: 'shuter' is not known in a take: did you mean 'shutter'?")]
    [InlineData("camera: hall, shutter", "camera: halle, shutter", "line 15: The camera 'halle' is not listed under 'cameras': did you mean 'hall'?")]
    [InlineData("readout: 16ms", "readout: 16", "line 8: '16' is not a readout time")]
    [InlineData("60Hz", "5Hz", "line 3: '5Hz' is not a mains frequency: write 50Hz or 60Hz.")]
    [InlineData("dimmer: 100%", "dimmer: 100", "line 14: '100' is not a dimmer level for 'dimmer': write 100%.")]
    [InlineData("dimmer: 100%", "dimmer: 120%", "write a level from 0% to 100%")]
    [InlineData("25%, 10%]", "25%, 25%]", "line 15: 'sweep' names 25% twice in a row")]
    [InlineData("25%, 10%]", "100%, 10%]", "line 15: 'sweep' names a level twice")]
    [InlineData("sweep: [100%, 50%, 25%, 10%]", "sweep: [100%]", "at least two levels")]
    [InlineData("sweep: [100%", "dimmer: 5%, sweep: [100%", "not both")]
    [InlineData("shutter: 1/250, dimmer", "shutter: 1/25, dimmer", "line 14: A shutter of 1/25 is longer than one frame")]
    [InlineData("shutter: 1/250, sweep", "shutter: fast, sweep", "line 15: 'fast' is not a shutter")]
    [InlineData("frame-rate: 29.97, shutter: 1/100", "frame-rate: 29.97, shutter: 1/60", "line 6: The format hall, 29.97 fps at 1/60 s is here twice")]
    [InlineData("region: [160, 36, 320, 288]", "region: [160, 36, 320]", "is not a region")]
    [InlineData("a-steps.mp4", "a-100.mp4, region: [160, 36, 320, 288]", "line 15: The clip 'a-100.mp4' is listed twice for 'Wash A'")]
    [InlineData("reference: off.mp4", "reference: a-steps.mp4", "'reference' is the take itself")]
    [InlineData("clip: a-100.mp4", "clip: \"https://example.org/a.mp4\"", "an address on a network")]
    [InlineData("clip: a-100.mp4", "clip: clips/", "is a folder")]
    [InlineData("clip: a-100.mp4, ", "", "A take needs 'clip'")]
    [InlineData("schema: flickerprobe/audition/1", "schema: flickerprobe/audition/2", "not a schema this version reads")]
    [InlineData("levels-used: [100%, 50%, 10%]", "levels-used: []", "'levels-used' is empty")]
    [InlineData("levels-used: [100%, 50%, 10%]", "levels-used: [50%, 0.5]", "names a level twice")]
    [InlineData("    price: 240 EUR", "    name: Wash B", "'name' stands here a second time")]
    [InlineData("readout: 16ms }", "readout: &r 16ms }", "not allowed")]
    public void A_slip_is_named_with_its_place_and_the_way_out(string right, string wrong, string says)
    {
        Assert.Contains(right, Example, StringComparison.Ordinal);
        Assert.Contains(says, Refusal(Example.Replace(right, wrong, StringComparison.Ordinal)), StringComparison.Ordinal);
    }

    [Fact]
    public void Two_fixtures_of_one_name_are_refused() =>
        Assert.Contains("The fixture 'wash a' is here twice", Refusal(Example + "\n  - { name: wash a, takes: [] }"), StringComparison.Ordinal);

    [Theory]
    [InlineData("../elsewhere/a.mp4")]
    [InlineData("/a.mp4")]
    [InlineData("sub/../../a.mp4")]
    public void A_clip_outside_the_folder_is_remarked_on(string path)
    {
        Audition audition = Parse(Example.Replace("a-100.mp4", path, StringComparison.Ordinal));
        Assert.Contains($"'{path}' (line 14) lies outside the audition's folder", Assert.Single(audition.Remarks).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_clip_in_a_sub_folder_is_inside() =>
        Assert.Empty(Parse(Example.Replace("a-100.mp4", "clips/../clips/a.mp4", StringComparison.Ordinal)).Remarks);

    [Fact]
    public void Short_forms_and_free_fields_read()
    {
        Audition audition = Parse("""
            schema: flickerprobe/audition/1
            formats: [25@1/50, 59.94@180deg@global]
            cameras:
              phone:
              tower: { readout: 16ms+-0.1ms, transfer: hlg }
            fixtures:
              - name: Spot
                more: { weight: 7 kg, supplier: to be asked }
                takes:
                  - { clip: s.png, camera: phone, shutter: 90deg, sweep: [1.0, 33.3%], stretches: [[0, 4.5], [6, 11]] }
                  - { clip: t.mp4, dimmer: 0.333 }
            """);
        Assert.Equal("60000/1001", audition.Formats[1].Rate.ToString());
        Assert.Null(audition.Camera("phone")!.Readout);
        Assert.Equal(0.1 / 16 / Estimate.Coverage95, audition.Camera("tower")!.Readout!.RelativeDeviation, 9);
        AuditionTake take = audition.Fixtures[0].Takes[0];
        Assert.Equal(0.01, take.ExposureAt(Camera.FrameRate.Parse("25"))!.Seconds, 12);
        Assert.Equal((6, 11), take.Stretches[1]);
        Assert.Equal(take.Sweep[1], audition.Fixtures[0].Takes[1].Dimmer);
        Assert.Equal(["weight", "supplier"], audition.Fixtures[0].More.Select(m => m.Key));
        Assert.Null(audition.Fixtures[0].LevelsUsed);
    }

    [Theory]
    [InlineData("[[0, 4]]", "has 1 entries but 'sweep' has 2 levels")]
    [InlineData("[[0, 4], [3, 8]]", "run forward in time without overlap")]
    [InlineData("[[0, 4], [9, 8]]", "run forward in time without overlap")]
    [InlineData("[[0, 4], [9]]", "two times in seconds")]
    public void Stretches_that_can_not_be_are_refused(string stretches, string says) =>
        Assert.Contains(says, Refusal($$"""
            schema: flickerprobe/audition/1
            fixtures: [{ name: S, takes: [{ clip: s.mp4, sweep: [100%, 50%], stretches: {{stretches}} }] }]
            """), StringComparison.Ordinal);
}
