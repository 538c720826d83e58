using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization.Metadata;
using FlickerProbe.Files.Yaml;

namespace FlickerProbe.Files.Results;

/// <summary>Finds a key that a JSON document has and its type doesn't, and the known key nearest to it.</summary>
internal static class UnknownKey
{
    /// <summary>Names the first unknown key of a result and the nearest known one; null when all keys are known.</summary>
    public static string? Describe(string json, JsonSerializerOptions options) =>
        Search(JsonNode.Parse(json), options.GetTypeInfo(typeof(ResultDocument)), "", options);

    private static string? Search(JsonNode? node, JsonTypeInfo type, string place, JsonSerializerOptions options)
    {
        if (node is JsonArray items && type.ElementType is { } element)
        {
            return items.Select((item, i) => Search(item, options.GetTypeInfo(element), $"{place}[{i}]", options)).FirstOrDefault(found => found is not null);
        }
        if (node is not JsonObject members || type.Kind != JsonTypeInfoKind.Object) return null;

        foreach ((string key, JsonNode? value) in members)
        {
            JsonPropertyInfo? property = type.Properties.FirstOrDefault(p => p.Name == key);
            if (property is null)
            {
                string where = place.Length == 0 ? "at the top" : "in " + place;
                return NearestWord.To(key, [.. type.Properties.Select(p => p.Name)]) is { } near
                    ? $"the unknown key \"{key}\" {where}: did you mean \"{near}\"?"
                    : $"the unknown key \"{key}\" {where}: take it out.";
            }
            string inner = place.Length == 0 ? key : place + "." + key;
            Type propertyType = Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType;
            if (Search(value, options.GetTypeInfo(propertyType), inner, options) is { } found) return found;
        }
        return null;
    }
}
