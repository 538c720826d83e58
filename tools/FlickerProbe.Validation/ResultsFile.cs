using System.Text.Json;

namespace FlickerProbe.Validation;

/// <summary>Something measured of the case of a seed.</summary>
public interface ISeeded
{
    /// <summary>The seed of the case.</summary>
    int Seed { get; }

    /// <summary>Stands for the recipe and for the programs that measured it; a result is used again only for the same.</summary>
    string Fingerprint { get; }
}

/// <summary>Results on disk, one JSON line each, so that an interrupted run goes on where it stopped.</summary>
public sealed class ResultsFile<T>(string path) where T : class, ISeeded
{
    private static readonly JsonSerializerOptions Options = new() { NumberHandling = System.Text.Json.Serialization.JsonNumberHandling.AllowNamedFloatingPointLiterals };
    private readonly Lock _lock = new();

    /// <summary>What is there: the last line of each seed.</summary>
    public Dictionary<int, T> Read()
    {
        Dictionary<int, T> results = [];
        if (!File.Exists(path)) return results;
        foreach (string line in File.ReadLines(path))
        {
            if (FromLine(line) is { } result) results[result.Seed] = result;
        }
        return results;
    }

    /// <summary>Adds one.</summary>
    public void Add(T result)
    {
        lock (_lock)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            File.AppendAllText(path, JsonSerializer.Serialize(result, Options) + "\n");
        }
    }

    private static T? FromLine(string line)
    {
        try
        {
            return JsonSerializer.Deserialize<T>(line, Options);
        }
        catch (JsonException)
        {
            // A run that was interrupted may have left half a line: that case is simply measured again.
            return null;
        }
    }
}
