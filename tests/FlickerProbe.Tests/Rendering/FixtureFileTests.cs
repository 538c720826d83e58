using FlickerProbe.Rendering.Fixtures;
using FlickerProbe.Rendering.Light;
using Xunit;

namespace FlickerProbe.Tests.Rendering;

/// <summary>The committed light fixtures, and what a wrong file is told.</summary>
public class FixtureFileTests
{
    [Theory]
    [InlineData("wash-a.yaml", 1.0, 0.001, 0.002)]
    [InlineData("wash-b.yaml", 1.0, 0.075, 0.085)]
    [InlineData("wash-c.yaml", 1.0, 0.004, 0.0041)]
    [InlineData("wash-c.yaml", 0.25, 1, 1)]
    [InlineData("wash-d.yaml", 0.5, 1, 1)]
    public void The_demo_fixtures_have_the_depths_their_descriptions_say(string file, double dimmer, double least, double most)
    {
        Fixture fixture = FixtureFile.Read(Path.Combine(Fixtures(), file));
        Assert.Equal([1, 0.5, 0.25, 0.1], fixture.Levels.Select(l => l.Dimmer));
        LightAnalysis light = LightAnalysis.Of(fixture.At(dimmer)[0].Waveform);
        Assert.InRange(light.ModulationDepth(), least - 1e-12, most + 1e-12);
        // Every level is as bright as it is called.
        Assert.Equal(dimmer, light.Mean, 1e-6);
    }

    [Theory]
    [InlineData("mains: 60", 3, "not a frequency")]
    [InlineData("mains: 60Hz\nwatts: 3", 4, "'watts' is not known here")]
    [InlineData("mains: 60Hz\nlevels: [{ dimmer: 1, light: { glow: 1 } }]", 4, "'glow' is not known here")]
    [InlineData("mains: 60Hz\nlevels: [{ dimmer: 1, light: { pulse: { frequency: 300Hz } } }]", 4, "'duty' is missing")]
    [InlineData("mains: 60Hz\nlevels: [{ dimmer: 1 }]", 4, "either light or emitters")]
    public void A_wrong_file_is_told_where_and_what(string rest, int line, string words)
    {
        string message = Assert.Throws<FixtureFileException>(() => FixtureFile.Parse("schema: flickerprobe/fixture/1\nname: X\n" + rest, "x.yaml")).Message;
        Assert.StartsWith($"x.yaml:{line}:", message, StringComparison.Ordinal);
        Assert.Contains(words, message, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_kind_of_light_can_be_written()
    {
        Fixture fixture = FixtureFile.Parse("""
            schema: flickerprobe/fixture/1
            name: All
            mains: 50Hz
            notes: { price: 12 EUR }
            levels:
              - dimmer: 100%
                emitters:
                  - { colour: [1, 0.5, 0], light: { rectified: { waves: half } } }
                  - { colour: [0, 0, 1], light: { add: [{ steady: 1 }, { tones: { frequency: 300Hz, mean: 0, harmonics: [{ order: 2, amplitude: 10%, phase: 90deg }] } }] } }
                  - { colour: [0, 1, 1], light: { table: { frequency: 1kHz, points: [[0, 1], [0.5, 0]] } } }
              - dimmer: 50%
                light: { multiply: [{ ripple: { harmonics: [{ order: 1, amplitude: 8% }] } }, { pulse: { frequency: 2kHz, duty: 50%, low: 10%, edge: 5us, phase: 90deg } }] }
            """);
        Assert.Equal(3, fixture.At(1).Count);
        Assert.Equal(new RectifiedLight { MainsHz = 50, FullWave = false }, fixture.At(1)[0].Waveform);
        LightAnalysis two = LightAnalysis.Of(fixture.At(0.5)[0].Waveform);
        Assert.Contains(two.Components(), c => Math.Abs(c.FrequencyHz - 100) < 1e-9 && Math.Abs(c.Amplitude - 0.08) < 1e-9);
        Assert.Equal(0.55, two.Mean, 1e-9);
        Assert.Throws<ArgumentException>(() => fixture.At(0.3));
    }

    /// <summary>The folder of that name beside the solution.</summary>
    private static string Fixtures()
    {
        string folder = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(folder, "FlickerProbe.sln"))) folder = Path.GetDirectoryName(folder) ?? throw new DirectoryNotFoundException("FlickerProbe.sln");
        return Path.Combine(folder, "fixtures");
    }
}
