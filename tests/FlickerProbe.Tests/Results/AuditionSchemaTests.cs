using System.Text.Json.Nodes;
using FlickerProbe.Files.Results;
using Xunit;
using YamlDotNet.Core;
using YamlDotNet.RepresentationModel;

namespace FlickerProbe.Tests.Results;

public class AuditionSchemaTests
{
    // The example that the project's interface fixes, with the keys it names.
    private const string Example = """
        schema: flickerprobe/audition/1
        title: Lecture hall wash, spring
        mains: 60Hz
        formats:
          - { camera: hall, frame-rate: 29.97, shutter: 1/60 }
          - { camera: hall, frame-rate: 29.97, shutter: 1/100 }
        cameras:
          hall: { readout: 16ms }
          phone: {}
          stage: { readout: global }
          spare: { readout: -15.73ms±0.1ms }
        fixtures:
          - name: Wash A
            price: 240 EUR
            levels-used: [100%, 50%, 10%]
            takes:
              - { clip: a-100.mp4, camera: hall, frame-rate: 29.97, shutter: 1/250, dimmer: 100%, region: [160, 36, 320, 288] }
              - { clip: a-steps.mp4, camera: hall, shutter: 180deg, sweep: [100%, 50%, 25%, 10%], reference: off.mp4 }
        """;

    [Fact]
    public void The_interfaces_own_example_fits() => Assert.Empty(ResultJsonTests.SchemaProblems(PublishedSchemas.Audition, Json(Example)));

    [Theory]
    [InlineData("schema: flickerprobe/audition/1", "schema: flickerprobe/audition/9")]
    [InlineData("shutter: 1/250", "shuter: 1/250")]
    [InlineData("shutter: 1/250", "shutter: quick")]
    [InlineData("[160, 36, 320, 288]", "[160, 36, 320]")]
    [InlineData("readout: 16ms", "readout: fast")]
    [InlineData("dimmer: 100%", "dimmer: 100%, sweep: [100%]")]
    [InlineData("name: Wash A", "name: ''")]
    [InlineData("frame-rate: 29.97, shutter: 1/60", "frame-rate: fast, shutter: 1/60")]
    public void What_is_wrong_in_it_is_refused(string right, string wrong)
    {
        string changed = Example.Replace(right, wrong, StringComparison.Ordinal);
        Assert.NotEqual(Example, changed);
        Assert.NotEmpty(ResultJsonTests.SchemaProblems(PublishedSchemas.Audition, Json(changed)));
    }

    private static JsonNode Json(string yaml)
    {
        YamlStream stream = [];
        stream.Load(new StringReader(yaml));
        return Convert(stream.Documents[0].RootNode)!;
    }

    // Plain scalars that read as numbers become numbers, as YAML's core schema has it.
    private static JsonNode? Convert(YamlNode node) => node switch
    {
        YamlMappingNode map => new JsonObject(map.Children.Select(pair => KeyValuePair.Create(((YamlScalarNode)pair.Key).Value!, Convert(pair.Value)))),
        YamlSequenceNode list => new JsonArray(list.Children.Select(Convert).ToArray()),
        YamlScalarNode { Style: ScalarStyle.Plain } scalar when decimal.TryParse(
            scalar.Value, System.Globalization.NumberStyles.Float, System.Globalization.CultureInfo.InvariantCulture, out decimal number) => JsonValue.Create(number),
        YamlScalarNode scalar => JsonValue.Create(scalar.Value),
        _ => null,
    };
}
