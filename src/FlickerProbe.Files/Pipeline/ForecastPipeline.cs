using FlickerProbe.Camera;
using FlickerProbe.Files.Policies;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Files.Pipeline;

/// <summary>A result, asked about other formats or held against other lines, without its clips.</summary>
public static class ForecastPipeline
{
    /// <summary>The result with its forecasts and verdicts made anew.</summary>
    /// <param name="result">The result.</param>
    /// <param name="formats">House formats; empty: the takes' own settings.</param>
    /// <param name="policy">A venue's own lines; null for the built-in ones.</param>
    /// <param name="clock">Says when it was made.</param>
    /// <exception cref="InputException">The result holds something that is none of a result.</exception>
    public static ResultDocument Run(ResultDocument result, IReadOnlyList<CameraFormat> formats, LoadedPolicy? policy, TimeProvider clock)
    {
        Policy lines = policy?.Policy ?? Policy.Default;
        return result with
        {
            Tool = new ToolInfo(ProgramVersion.Text) { PolicySha256 = policy?.Sha256 },
            Created = clock.GetUtcNow(),
            Fixtures = [.. result.Fixtures.Select(fixture => Again(fixture, formats, lines))],
        };
    }

    private static FixtureResult Again(FixtureResult fixture, IReadOnlyList<CameraFormat> formats, Policy policy)
    {
        if (!fixture.LevelsInUse.Any() || fixture.Levels.Any(l => l.Takes.Count == 0))
            throw new InputException($"The result has no take for '{fixture.Name}', so there is nothing to forecast from: measure it first.");
        (bool IsInUse, JudgedLevel Level)[] levels = [.. fixture.Levels.Select(l => (fixture.IsInUse(l), LevelJudge.Judge(l, formats, policy)))];
        FixtureResult again = FixtureJudge.Judge(fixture.Name, [.. levels.Where(l => l.IsInUse).Select(l => l.Level)], policy, withRiskMap: false);
        return again with { Levels = [.. levels.Select(l => l.Level.Result)], LevelsUsed = fixture.LevelsUsed, Price = fixture.Price, Mode = fixture.Mode, Firmware = fixture.Firmware, Notes = fixture.Notes };
    }
}
