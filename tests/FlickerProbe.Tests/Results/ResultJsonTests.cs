using System.Text.Json.Nodes;
using FlickerProbe.Files.Results;
using FlickerProbe.Tests.Reports;
using FlickerProbe.Units;
using Json.Schema;
using Xunit;

namespace FlickerProbe.Tests.Results;

public class ResultJsonTests
{
    private static string Written => ResultJson.Write(SampleDocuments.Audition());

    [Fact]
    public void What_was_written_reads_back_to_the_same_text()
    {
        ResultDocument read = ResultJson.Read(Written, "result.json", strict: true);
        Assert.Equal(Written, ResultJson.Write(read));
    }

    [Fact]
    public void Two_runs_on_the_same_inputs_differ_in_the_time_stamp_alone()
    {
        ResultDocument later = SampleDocuments.Audition() with { Created = SampleDocuments.Created.AddDays(1) };
        string[] first = Written.Split('\n'), second = ResultJson.Write(later).Split('\n');
        Assert.Equal(first.Length, second.Length);
        string differing = Assert.Single(first.Zip(second), pair => pair.First != pair.Second).First;
        Assert.Contains("\"created\"", differing, StringComparison.Ordinal);
    }

    [Fact]
    public void The_bytes_do_not_follow_the_computers_language()
    {
        string invariant = Written;
        using CultureScope german = new("de-DE");
        Assert.Equal(invariant, Written);
    }

    // The members that the project's interface fixes, written out by hand: schema flickerprobe/result/1.
    [Theory]
    [InlineData("", "schema tool fixtures")]
    [InlineData("tool", "version")]
    [InlineData("fixtures.0", "name verdict reasons levels")]
    [InlineData("fixtures.0.reasons.0", "code message")]
    [InlineData("fixtures.1.levels.0", "dimmer verdict light formats takes")]
    [InlineData("fixtures.1.levels.0.light", "fundamentalHz candidatesHz modulationDepth flickerIndex components")]
    [InlineData("fixtures.1.levels.0.light.fundamentalHz", "value low high")]
    [InlineData("fixtures.1.levels.0.light.components.0", "frequencyHz amplitude state")]
    [InlineData("fixtures.1.levels.0.formats.0", "frameRate exposureTime readoutTime verdict modulationDepth beatHz bands")]
    [InlineData("fixtures.1.levels.0.takes.0", "clip sha256 frameRate frames exposureTime readoutTime region level modulationDepth detectionLimit tones warnings")]
    [InlineData("fixtures.1.levels.0.takes.0.region", "x y width height")]
    [InlineData("fixtures.1.levels.0.takes.0.level", "mean peak clipped dark")]
    [InlineData("fixtures.1.levels.0.takes.0.tones.0", "aliasHz frequencyHz candidatesHz amplitude")]
    [InlineData("fixtures.1.levels.0.takes.0.warnings.0", "code message")]
    public void The_public_names_are_there(string place, string names)
    {
        JsonNode node = JsonNode.Parse(Written)!;
        foreach (string step in place.Split('.', StringSplitOptions.RemoveEmptyEntries))
            node = int.TryParse(step, out int index) ? node[index]! : node[step]!;
        foreach (string name in names.Split(' ')) Assert.True(node.AsObject().ContainsKey(name), $"{place} has no {name}");
    }

    [Fact]
    public void Unknown_is_null_and_written()
    {
        JsonObject light = JsonNode.Parse(Written)!["fixtures"]![0]!["levels"]![0]!["light"]!.AsObject();
        Assert.True(light.ContainsKey("fundamentalHz"));
        Assert.Null(light["fundamentalHz"]);
    }

    [Fact]
    public void Pictures_are_not_in_the_file()
    {
        Assert.DoesNotContain("pictures", Written, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("riskGrid", Written, StringComparison.OrdinalIgnoreCase);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void A_number_that_is_not_finite_is_refused_by_its_place(double bad)
    {
        ResultDocument sample = SampleDocuments.SingleClip();
        FixtureResult fixture = sample.Fixtures[0];
        LevelResult level = fixture.Levels[0];
        ResultDocument broken = sample with { Fixtures = [fixture with { Levels = [level with { Formats = [level.Formats[0] with { ModulationDepth = new Estimate(0, 0, bad) }] }] }] };
        InvalidOperationException problem = Assert.Throws<InvalidOperationException>(() => ResultJson.Write(broken));
        Assert.Contains("fixtures[0].levels[0].formats[0].modulationDepth.high", problem.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_of_a_newer_schema_is_refused_in_one_sentence()
    {
        string newer = Written.Replace("flickerprobe/result/1", "flickerprobe/result/2", StringComparison.Ordinal);
        string message = Assert.Throws<InputException>(() => ResultJson.Read(newer, "old/result.json")).Message;
        Assert.Equal("'old/result.json' was written by a newer flickerprobe (schema flickerprobe/result/2; this one reads up to flickerprobe/result/1): update flickerprobe to read it.", message);
    }

    [Theory]
    [InlineData("nonsense", "is not JSON (line 1)")]
    [InlineData("[]", "is not a flickerprobe result")]
    [InlineData("{}", "is not a flickerprobe result")]
    [InlineData("""{ "schema": "flickerprobe/result/x" }""", "is not a flickerprobe result")]
    [InlineData("""{ "schema": 1 }""", "is not a flickerprobe result")]
    [InlineData("""{ "schema": "flickerprobe/result/1" }""", "missing")]
    [InlineData("""{ "schema": "flickerprobe/result/1", "tool": { "version": "1" }, "fixtures": null }""", "wrong kind")]
    public void What_is_no_result_is_refused_plainly(string text, string expected)
    {
        string message = Assert.Throws<InputException>(() => ResultJson.Read(text, "x.json")).Message;
        Assert.StartsWith("'x.json' ", message, StringComparison.Ordinal);
        Assert.Contains(expected, message, StringComparison.Ordinal);
        Assert.DoesNotContain("FlickerProbe.Files", message, StringComparison.Ordinal);
    }

    [Fact]
    public void An_interval_without_its_upper_end_is_refused_not_read_as_zero()
    {
        JsonNode root = JsonNode.Parse(Written)!;
        root["fixtures"]![1]!["levels"]![0]!["formats"]![0]!["modulationDepth"]!.AsObject().Remove("high");
        string message = Assert.Throws<InputException>(() => ResultJson.Read(root.ToJsonString(), "x.json")).Message;
        Assert.Contains("needs the numbers value, low and high", message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_misspelt_key_is_passed_over_unless_asked_to_be_strict()
    {
        JsonNode root = JsonNode.Parse(Written)!;
        root["fixtures"]![2]!["levels"]![1]!["formats"]![0]!["framRate"] = "25";
        string text = root.ToJsonString();
        Assert.Equal(Written, ResultJson.Write(ResultJson.Read(text, "x.json")));
        string message = Assert.Throws<InputException>(() => ResultJson.Read(text, "x.json", strict: true)).Message;
        Assert.Equal("'x.json' has the unknown key \"framRate\" in fixtures[2].levels[1].formats[0]: did you mean \"frameRate\"?", message);
    }

    [Fact]
    public void A_file_with_only_the_fixed_members_reads()
    {
        ResultDocument read = ResultJson.ReadFile(Path.Combine(AppContext.BaseDirectory, "Approved", "result-1-least.json"), strict: true);
        Assert.Equal(["Wash A"], read.Fixtures.Select(fixture => fixture.Name));
        Assert.Null(read.Fixtures[0].Levels[0].Takes[0].ReadoutTime);
        Assert.Empty(read.Fixtures[0].Advice);
    }

    [Theory]
    [InlineData("Approved/result-1-least.json")]
    [InlineData("")]
    public void Results_fit_the_published_schema(string file)
    {
        string text = file.Length == 0 ? Written : File.ReadAllText(Path.Combine(AppContext.BaseDirectory, file));
        Assert.Empty(SchemaProblems(PublishedSchemas.Result, JsonNode.Parse(text)!));
    }

    [Theory]
    [InlineData("verdict", "\"maybe\"")]
    [InlineData("reasons", "null")]
    [InlineData("levels", "3")]
    public void The_published_schema_refuses_what_is_wrong(string member, string value)
    {
        JsonNode root = JsonNode.Parse(Written)!;
        root["fixtures"]![0]![member] = JsonNode.Parse(value);
        Assert.NotEmpty(SchemaProblems(PublishedSchemas.Result, root));
    }

    [Fact]
    public void The_published_schema_knows_every_member_that_is_written()
    {
        JsonNode schema = JsonNode.Parse(PublishedSchemas.Result)!;
        List<string> unknown = [];
        Walk(schema, JsonNode.Parse(Written), "");
        Assert.Empty(unknown);

        void Walk(JsonNode part, JsonNode? value, string place)
        {
            while (part["$ref"] is { } reference) part = schema["$defs"]![reference.ToString().Split('/')[^1]]!;
            if (part["anyOf"] is JsonArray choices)
            {
                if (value is not null) Walk(choices[0]!, value, place);
                return;
            }
            if (value is JsonObject members)
            {
                foreach ((string key, JsonNode? inner) in members)
                {
                    if (part["properties"]?[key] is { } known) Walk(known, inner, place + "/" + key);
                    else unknown.Add(place + "/" + key);
                }
            }
            else if (value is JsonArray items)
            {
                foreach (JsonNode? item in items) Walk(part["items"]!, item, place + "/*");
            }
        }
    }

    internal static List<string> SchemaProblems(string schema, JsonNode value)
    {
        JsonNode definition = JsonNode.Parse(schema)!;
        // The evaluator keeps a register of schemas by their name; read without it, each test has its own.
        definition.AsObject().Remove("$id");
        EvaluationResults results = JsonSchema.FromText(definition.ToJsonString()).Evaluate(
            System.Text.Json.JsonDocument.Parse(value.ToJsonString()).RootElement, new EvaluationOptions { OutputFormat = OutputFormat.List, RequireFormatValidation = true });
        if (results.IsValid) return [];
        List<string> problems = (results.Details ?? []).Where(detail => detail.Errors is not null)
            .SelectMany(detail => detail.Errors!.Select(error => $"{detail.InstanceLocation}: {error.Value}")).ToList();
        return problems.Count > 0 ? problems : ["invalid"];
    }
}
