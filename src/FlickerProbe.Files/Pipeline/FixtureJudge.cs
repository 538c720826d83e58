using System.Globalization;
using FlickerProbe.Files.Results;
using FlickerProbe.Verdict;

namespace FlickerProbe.Files.Pipeline;

/// <summary>The levels of one fixture → its verdict and what to do.</summary>
public static class FixtureJudge
{
    /// <summary>Judges a fixture: the worst of its levels.</summary>
    /// <param name="name">The fixture.</param>
    /// <param name="levels">Its levels, at least one.</param>
    public static FixtureResult Judge(string name, IReadOnlyList<JudgedLevel> levels)
    {
        Judgement judgement = Verdict.Judge.Fixture([.. levels.Select(l => (LevelName(l.Result.Dimmer), l.Judgement))]);
        return new FixtureResult
        {
            Name = name,
            Verdict = LevelJudge.Word(judgement.Ruling),
            Reasons = [.. judgement.Reasons.Select(LevelJudge.Record)],
            Levels = [.. levels.Select(l => l.Result)],
        };
    }

    private static string LevelName(double? dimmer) => dimmer is { } level ? string.Create(CultureInfo.InvariantCulture, $"at {level * 100:0.#} %") : "";
}
