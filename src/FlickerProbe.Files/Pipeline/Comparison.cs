using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Pipeline;

/// <summary>The fixtures of several results in one, so that candidates of different evenings stand side by side.</summary>
public static class Comparison
{
    /// <summary>Puts results together. Verdicts stay as they were given.</summary>
    /// <param name="results">Name and content of each result, at least one.</param>
    /// <param name="clock">Says when it was made.</param>
    /// <exception cref="InputException">The verdicts were held against different lines and can't be compared.</exception>
    public static ResultDocument Of(IReadOnlyList<(string Name, ResultDocument Result)> results, TimeProvider clock)
    {
        if (results.Count == 0) throw new ArgumentException("At least one result.", nameof(results));
        (string Name, ResultDocument Result) first = results[0];
        foreach ((string name, ResultDocument result) in results)
        {
            if (result.Tool.PolicySha256 != first.Result.Tool.PolicySha256)
                throw new InputException($"'{first.Name}' and '{name}' were judged by different lines: judge one of them anew with flickerprobe forecast --policy, then compare.");
        }
        HashSet<string> twice = [.. results.SelectMany(r => r.Result.Fixtures).GroupBy(f => f.Name).Where(g => g.Count() > 1).Select(g => g.Key)];
        return new ResultDocument
        {
            Tool = new ToolInfo(ProgramVersion.Text) { PolicySha256 = first.Result.Tool.PolicySha256 },
            Title = string.Join(", ", results.Select(r => r.Result.Title ?? r.Name).Distinct()),
            Created = clock.GetUtcNow(),
            // A name that stands for two lights gets its audition's beside it.
            Fixtures = [.. results.SelectMany(r => r.Result.Fixtures
                .Select(f => twice.Contains(f.Name) ? f with { Name = $"{f.Name} ({r.Result.Title ?? r.Name})" } : f))],
        };
    }
}
