using System.Text.Json.Serialization;

namespace FlickerProbe.Files.Results;

/// <summary>What the serializer needs to know to write a result, worked out when the program is built: finding it out at run time takes longer than the writing.</summary>
[JsonSourceGenerationOptions(GenerationMode = JsonSourceGenerationMode.Metadata)]
[JsonSerializable(typeof(ResultDocument))]
internal sealed partial class ResultJsonTypes : JsonSerializerContext;
