using System.Text.Json.Nodes;
using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Results;
using FlickerProbe.Files.Yaml;
using FlickerProbe.Units;
using Json.Schema;

namespace FlickerProbe.Tests.Auditions;

/// <summary>Reader and published schema must agree; the schema is read by a validator of its own.</summary>
public class AuditionSchemaTests
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(PublishedSchemas.Audition);

    internal static bool Accepts(string yaml)
    {
        JsonNode? node = ToJson(YamlReader.Parse(yaml, "test.yaml"));
        return Schema.Evaluate(System.Text.Json.JsonSerializer.SerializeToElement(node)).IsValid;
    }

    // As an editor reads YAML: plain numbers are numbers, empty is null, the rest is text.
    private static JsonNode? ToJson(YamlItem item) => item switch
    {
        YamlMap map => new JsonObject(map.Entries.Select(e => KeyValuePair.Create(e.Key.Text, ToJson(e.Value)))),
        YamlSequence list => new JsonArray([.. list.Items.Select(ToJson)]),
        YamlScalar { IsEmpty: true } => null,
        YamlScalar { IsPlain: true } scalar when Parsing.Number(scalar.Text) is { } number => number == Math.Floor(number) ? JsonValue.Create((long)number) : JsonValue.Create(number),
        YamlScalar scalar => JsonValue.Create(scalar.Text),
        _ => throw new NotSupportedException(),
    };

    [Fact]
    public void The_described_example_is_valid() => Assert.True(Accepts(AuditionReaderTests.Example));

    [Theory]
    [InlineData("title:", "titel:")]
    [InlineData("    price: 240 EUR", "    prize: 240 EUR")]
    [InlineData("shutter: 1/250, dimmer", "shuter: 1/250, dimmer")]
    [InlineData("readout: 16ms", "readout: 16")]
    [InlineData("dimmer: 100%", "dimmer: 100")]
    [InlineData("sweep: [100%, 50%, 25%, 10%]", "sweep: [100%]")]
    [InlineData("sweep: [100%", "dimmer: 5%, sweep: [100%")]
    [InlineData("shutter: 1/250, sweep", "shutter: fast, sweep")]
    [InlineData("clip: a-100.mp4", "clip: \"https://example.org/a.mp4\"")]
    [InlineData("clip: a-100.mp4, ", "")]
    [InlineData("schema: flickerprobe/audition/1", "schema: flickerprobe/audition/2")]
    [InlineData("levels-used: [100%, 50%, 10%]", "levels-used: []")]
    [InlineData("region: [160, 36, 320, 288]", "region: [160, 36, 320]")]
    public void What_the_reader_refuses_the_schema_refuses(string right, string wrong)
    {
        string slipped = AuditionReaderTests.Example.Replace(right, wrong, StringComparison.Ordinal);
        Assert.Throws<InputException>(() => AuditionReader.Parse(slipped, "test.yaml"));
        Assert.False(Accepts(slipped));
    }

    [Fact]
    public void The_schema_knows_the_same_words_as_the_reader()
    {
        JsonNode root = JsonNode.Parse(PublishedSchemas.Audition)!;
        static string[] Keys(JsonNode node) => [.. node["properties"]!.AsObject().Select(p => p.Key)];
        Assert.Equal(AuditionKeys.Top, Keys(root));
        foreach ((string name, string[] keys) in new[] { ("format", AuditionKeys.Format), ("camera", AuditionKeys.Camera), ("fixture", AuditionKeys.Fixture), ("take", AuditionKeys.Take) })
            Assert.Equal(keys, Keys(root["$defs"]![name]!));
    }
}
