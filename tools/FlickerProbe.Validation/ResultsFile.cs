namespace FlickerProbe.Validation;

/// <summary>Results on disk, one JSON line each, so that an interrupted run goes on where it stopped.</summary>
public sealed class ResultsFile(string path)
{
    private readonly Lock _lock = new();

    /// <summary>What is there: the last line of each seed.</summary>
    public Dictionary<int, CaseResult> Read()
    {
        Dictionary<int, CaseResult> results = [];
        if (!File.Exists(path)) return results;
        foreach (string line in File.ReadLines(path))
        {
            if (CaseResult.FromLine(line) is { } result) results[result.Seed] = result;
        }
        return results;
    }

    /// <summary>Adds one.</summary>
    public void Add(CaseResult result)
    {
        lock (_lock)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            File.AppendAllText(path, result.ToLine() + "\n");
        }
    }
}
