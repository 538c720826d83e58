using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Results;

/// <summary>Writes and reads <c>result.json</c>.</summary>
/// <remarks>The same document gives the same bytes. Unknown is written as null. A number that is not finite is a fault of the program and refused.</remarks>
public static class ResultJson
{
    private const string Family = "flickerprobe/result/";
    private const int NewestVersion = 1;
    private const int LargestBytes = 64 << 20;

    // Writing knows the types from the build. Reading can't: types known that way lose the values that optional members begin with.
    private static readonly JsonSerializerOptions WritingOptions = MakeOptions(JsonUnmappedMemberHandling.Skip, ResultJsonTypes.Default);
    private static readonly JsonSerializerOptions NamingOptions = new(WritingOptions) { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };
    private static readonly Lazy<JsonSerializerOptions> Options = new(() => MakeOptions(JsonUnmappedMemberHandling.Skip, new DefaultJsonTypeInfoResolver()));
    private static readonly Lazy<JsonSerializerOptions> StrictOptions = new(() => MakeOptions(JsonUnmappedMemberHandling.Disallow, new DefaultJsonTypeInfoResolver()));

    /// <summary>The document as JSON text, indented, ending in a line break.</summary>
    /// <exception cref="InvalidOperationException">A number in it is not finite; the message says which.</exception>
    public static string Write(ResultDocument document)
    {
        try
        {
            return JsonSerializer.Serialize(document, WritingOptions) + "\n";
        }
        catch (ArgumentException problem)
        {
            throw new InvalidOperationException($"The result holds a number that is not finite at {PlaceOfNonFinite(document)}: unknown must be null.", problem);
        }
    }

    /// <summary>Reads a result file from disk.</summary>
    /// <param name="path">The file.</param>
    /// <param name="strict">Whether a key this version doesn't know is an error; otherwise it is passed over, so that files with later optional parts read.</param>
    /// <exception cref="InputException">The file can't be read, is no result, or is newer than this program.</exception>
    public static ResultDocument ReadFile(string path, bool strict = false)
    {
        try
        {
            string text = BoundedFile.ReadText(path, LargestBytes)
                ?? throw new InputException($"'{path}' is larger than 64 MiB, which no result is: give a result.json that flickerprobe wrote.");
            return Read(text, path, strict);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            throw new InputException($"'{path}' can't be read ({problem.Message.TrimEnd('.')}): give a result.json that flickerprobe wrote.", problem);
        }
    }

    /// <summary>Reads a result from text.</summary>
    /// <param name="text">The JSON text.</param>
    /// <param name="name">What to call it in messages, such as the file name.</param>
    /// <param name="strict">As for <see cref="ReadFile"/>.</param>
    /// <exception cref="InputException">The text is no result, or is newer than this program.</exception>
    public static ResultDocument Read(string text, string name, bool strict = false)
    {
        CheckSchema(text, name);
        try
        {
            ResultDocument document = JsonSerializer.Deserialize<ResultDocument>(text, (strict ? StrictOptions : Options).Value)
                ?? throw new InputException($"'{name}' holds null instead of a result: give a result.json that flickerprobe wrote.");
            CheckVerdicts(document, name);
            return document;
        }
        catch (JsonException problem)
        {
            string? unknown = strict ? UnknownKey.Describe(text, Options.Value) : null;
            throw new InputException(unknown is null
                ? $"'{name}' is not a complete result: {Place(problem)}; give a result.json that flickerprobe wrote."
                : $"'{name}' has {unknown}", problem);
        }
    }

    private static void CheckSchema(string text, string name)
    {
        JsonNode? root;
        try
        {
            root = JsonNode.Parse(text, documentOptions: new JsonDocumentOptions { AllowDuplicateProperties = false });
        }
        catch (JsonException problem)
        {
            throw new InputException($"'{name}' is not JSON (line {(problem.LineNumber ?? 0) + 1}): give a result.json that flickerprobe wrote.", problem);
        }

        string? schema = root is JsonObject members && members["schema"] is JsonValue value && value.TryGetValue(out string? written) ? written : null;
        if (schema is null || !schema.StartsWith(Family, StringComparison.Ordinal) || !int.TryParse(schema.AsSpan(Family.Length), NumberStyles.None, CultureInfo.InvariantCulture, out int version) || version < 1)
            throw new InputException($"'{name}' is not a flickerprobe result: its \"schema\" should be \"{ResultDocument.SchemaName}\"; give a result.json that flickerprobe wrote.");
        if (NullInList(root) is { } place)
            throw new InputException($"'{name}' is not a complete result: a null stands in the list at {place}; give a result.json that flickerprobe wrote.");
        if (version > NewestVersion)
            throw new InputException($"'{name}' was written by a newer flickerprobe (schema {schema}; this one reads up to {ResultDocument.SchemaName}): update flickerprobe to read it.");
    }

    // The serializer takes any text for a verdict; one that is none of the three must not slip through as harmless.
    private static void CheckVerdicts(ResultDocument document, string name)
    {
        IEnumerable<string> stated = document.Fixtures.SelectMany(fixture => fixture.Levels
            .SelectMany(level => level.Formats.Select(format => format.Verdict).Append(level.Verdict)).Append(fixture.Verdict));
        if (stated.FirstOrDefault(verdict => verdict is not ("pass" or "watch" or "fail")) is { } unknown)
            throw new InputException($"'{name}' has the verdict '{unknown}', which is none of pass, watch and fail: give a result.json that flickerprobe wrote.");
    }

    /// <summary>Where a list of things holds a null in place of one; null when none does. The serializer does not look inside lists.</summary>
    private static string? NullInList(JsonNode? node) => node switch
    {
        JsonObject members => members.Select(member => NullInList(member.Value)).FirstOrDefault(place => place is not null),
        JsonArray list when list.Any(item => item is JsonObject) || list.All(item => item is null) && list.Count > 0 =>
            list.Any(item => item is null) ? list.GetPath() : list.Select(NullInList).FirstOrDefault(place => place is not null),
        _ => null,
    };

    private static string Place(JsonException problem)
    {
        // The serializer's own text names .NET types; only its "missing required" list helps a reader.
        int missing = problem.Message.IndexOf("missing required properties", StringComparison.Ordinal);
        string what = "something of the wrong kind";
        if (missing >= 0)
        {
            int colon = problem.Message.IndexOf(':', missing);
            int end = problem.Message.IndexOf(". Path", StringComparison.Ordinal);
            string list = problem.Message[(colon + 1)..(end < colon ? problem.Message.Length : end)];
            what = "missing " + list.Trim().TrimEnd('.').Replace("'", "\"", StringComparison.Ordinal);
        }
        else if (problem.Data["plain"] is string plain)
        {
            what = plain;
        }
        return problem.Path is null or "$" ? what : what + " at " + problem.Path;
    }

    private static string PlaceOfNonFinite(ResultDocument document)
    {
        return Search(JsonSerializer.SerializeToNode(document, NamingOptions)) ?? "an unknown place";

        static string? Search(JsonNode? node) => node switch
        {
            JsonValue value when value.GetValueKind() == JsonValueKind.String && value.ToString() is "NaN" or "Infinity" or "-Infinity" => value.GetPath(),
            JsonObject members => members.Select(pair => Search(pair.Value)).FirstOrDefault(found => found is not null),
            JsonArray items => items.Select(Search).FirstOrDefault(found => found is not null),
            _ => null,
        };
    }

    private static JsonSerializerOptions MakeOptions(JsonUnmappedMemberHandling unknownKeys, IJsonTypeInfoResolver types)
    {
        JsonSerializerOptions options = new()
        {
            PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
            WriteIndented = true,
            NewLine = "\n",
            DefaultIgnoreCondition = JsonIgnoreCondition.Never,
            // The file is read as JSON, never pasted into a page: names stay readable in every script.
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
            RespectRequiredConstructorParameters = true,
            RespectNullableAnnotations = true,
            UnmappedMemberHandling = unknownKeys,
            TypeInfoResolver = types,
        };
        options.Converters.Add(new EstimateConverter());
        options.MakeReadOnly();
        return options;
    }

    /// <summary>An estimate as { value, low, high }; all three are required and ordered.</summary>
    private sealed class EstimateConverter : JsonConverter<Estimate>
    {
        public override Estimate Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
        {
            JsonNode? node = JsonNode.Parse(ref reader);
            double? value = Number(node, "value"), low = Number(node, "low"), high = Number(node, "high");
            if (value is null || low is null || high is null) throw Plain("an estimate needs the numbers value, low and high");
            if (low > value || value > high) throw Plain("an estimate's low is above its value, or its value above its high");
            return new Estimate(value.Value, low.Value, high.Value);
        }

        public override void Write(Utf8JsonWriter writer, Estimate value, JsonSerializerOptions options)
        {
            writer.WriteStartObject();
            WriteNumber(writer, "value", value.Value, options);
            WriteNumber(writer, "low", value.Low, options);
            WriteNumber(writer, "high", value.High, options);
            writer.WriteEndObject();
        }

        private static double? Number(JsonNode? node, string key) =>
            node is JsonObject members && members[key] is JsonValue value && value.GetValueKind() == JsonValueKind.Number ? value.GetValue<double>() : null;

        private static JsonException Plain(string text)
        {
            JsonException problem = new(text);
            problem.Data["plain"] = text;
            return problem;
        }

        private static void WriteNumber(Utf8JsonWriter writer, string key, double value, JsonSerializerOptions options)
        {
            writer.WritePropertyName(key);
            if (!double.IsFinite(value) && options.NumberHandling.HasFlag(JsonNumberHandling.AllowNamedFloatingPointLiterals))
                writer.WriteStringValue(value.ToString(CultureInfo.InvariantCulture));
            else
                writer.WriteNumberValue(value);
        }
    }
}
