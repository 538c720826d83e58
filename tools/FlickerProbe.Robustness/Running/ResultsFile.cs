using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using FlickerProbe.Cli;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;

namespace FlickerProbe.Robustness.Running;

/// <summary>Results of trials as lines of JSON, so that an interrupted run goes on where it was. A result counts only for the very build it came from.</summary>
internal sealed class ResultsFile(string path)
{
    private static readonly string Build = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(string.Join(',',
        new[] { typeof(TakeEstimator), typeof(ResultDocument), typeof(Application), typeof(ResultsFile) }.Select(t => t.Assembly.ManifestModule.ModuleVersionId)))))[..16];

    private readonly Lock _gate = new();

    private sealed record Line(string Build, string Class, string Name, int? Status, string? Verdict, double Seconds, string[] Wrong, string Refusal);

    /// <summary>What this build has gone through before, by class and name.</summary>
    public Dictionary<(string Class, string Name), TrialResult> Read(IEnumerable<Trial> trials)
    {
        Dictionary<(string, string), TrialResult> known = [];
        if (!File.Exists(path)) return known;
        Dictionary<(string, string), Trial> byName = trials.DistinctBy(t => (t.Class, t.Name)).ToDictionary(t => (t.Class, t.Name));
        foreach (string text in File.ReadLines(path))
        {
            if (JsonSerializer.Deserialize<Line>(text) is { } line && line.Build == Build && byName.TryGetValue((line.Class, line.Name), out Trial? trial))
                known[(line.Class, line.Name)] = new TrialResult(trial, line.Status, line.Verdict, line.Seconds, line.Wrong, line.Refusal);
        }
        return known;
    }

    /// <summary>Adds one.</summary>
    public void Add(TrialResult r)
    {
        lock (_gate)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            File.AppendAllText(path, JsonSerializer.Serialize(new Line(Build, r.Trial.Class, r.Trial.Name, r.Status, r.Verdict, r.Seconds, [.. r.Wrong], r.Refusal)) + "\n");
        }
    }
}
