using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization.Metadata;

namespace FlickerProbe.Files.Results;

/// <summary>Finds a key that a JSON document has and its type doesn't, and the known key nearest to it.</summary>
internal static class UnknownKey
{
    /// <summary>Names the first unknown key of a result and the nearest known one; null when all keys are known.</summary>
    public static string? Describe(string json, JsonSerializerOptions options) =>
        Search(JsonNode.Parse(json), options.GetTypeInfo(typeof(ResultDocument)), "", options);

    /// <summary>The known word with the smallest edit distance; null when none is near (more than half of its letters differ).</summary>
    public static string? Nearest(string word, IEnumerable<string> known)
    {
        (string Word, int Distance)? best = null;
        foreach (string candidate in known)
        {
            int distance = EditDistance(word.ToUpperInvariant(), candidate.ToUpperInvariant());
            if (best is null || distance < best.Value.Distance) best = (candidate, distance);
        }
        return best is { } found && found.Distance <= Math.Max(1, found.Word.Length / 2) ? found.Word : null;
    }

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
                return Nearest(key, type.Properties.Select(p => p.Name)) is { } near
                    ? $"the unknown key \"{key}\" {where}: did you mean \"{near}\"?"
                    : $"the unknown key \"{key}\" {where}: take it out.";
            }
            string inner = place.Length == 0 ? key : place + "." + key;
            Type propertyType = Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType;
            if (Search(value, options.GetTypeInfo(propertyType), inner, options) is { } found) return found;
        }
        return null;
    }

    // Levenshtein's distance by the usual two rows.
    private static int EditDistance(string a, string b)
    {
        int[] previous = Enumerable.Range(0, b.Length + 1).ToArray();
        for (int i = 1; i <= a.Length; i++)
        {
            int[] current = new int[b.Length + 1];
            current[0] = i;
            for (int j = 1; j <= b.Length; j++)
                current[j] = Math.Min(Math.Min(current[j - 1], previous[j]) + 1, previous[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1));
            previous = current;
        }
        return previous[b.Length];
    }
}
