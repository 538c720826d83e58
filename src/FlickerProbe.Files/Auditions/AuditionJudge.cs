using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;
using FlickerProbe.Verdict;

namespace FlickerProbe.Files.Auditions;

/// <summary>The measurements of one fixture → its levels → its verdict, with what is missing counted in.</summary>
internal static class AuditionJudge
{
    /// <summary>Judges a fixture.</summary>
    /// <param name="fixture">The fixture.</param>
    /// <param name="measured">What was measured, any number of takes for a level.</param>
    /// <param name="missing">Takes that could not be measured.</param>
    /// <param name="formats">What the verdict is for.</param>
    /// <param name="policy">The lines.</param>
    /// <param name="withPictures">Whether the risk map is wanted.</param>
    internal static FixtureResult Fixture(
        AuditionFixture fixture, IReadOnlyList<MeasuredAtLevel> measured, IReadOnlyList<TakeFailure> missing,
        IReadOnlyList<CameraFormat> formats, Policy policy, bool withPictures)
    {
        double?[] wanted = [.. (fixture.LevelsUsed ?? []).Select(l => (double?)l)];
        // A take of unknown dimmer level says nothing of a level that the verdict is for.
        double?[] all = [.. measured.Select(m => m.Dimmer).Concat(missing.SelectMany(m => m.Levels)).Concat(wanted).Distinct().OrderByDescending(l => l ?? 2)];
        var levels = new List<JudgedLevel>();
        foreach (double? dimmer in all)
        {
            MeasuredTake[] takes = [.. measured.Where(m => m.Dimmer == dimmer).Select(m => m.Take)];
            TakeFailure[] gaps = [.. missing.Where(m => m.Levels.Contains(dimmer))];
            levels.Add(takes.Length == 0 ? Nothing(dimmer, gaps) : WithGaps(LevelJudge.Judge(dimmer, takes, formats, policy), gaps));
        }
        JudgedLevel[] used = [.. levels.Where(l => wanted.Length == 0 || wanted.Contains(l.Result.Dimmer))];
        JudgedLevel[] usedAndMeasured = [.. used.Where(l => l.Takes.Count > 0)];
        bool isWhole = usedAndMeasured.Length == used.Length && used.Length > 0;

        Judgement judgement = Judge.Fixture([.. used.Select(l => (l.Name, l.Judgement))]);
        FixtureResult result = usedAndMeasured.Length == 0
            ? new FixtureResult { Name = fixture.Name, Verdict = "", Reasons = [], Levels = [] }
            : FixtureJudge.Judge(fixture.Name, usedAndMeasured, policy, withPictures);
        return result with
        {
            Verdict = LevelJudge.Word(judgement.Ruling),
            Reasons = [.. judgement.Reasons.Select(LevelJudge.Record)],
            Levels = [.. levels.Select(l => l.Result)],
            // What is safe at some of the levels in use is not safe at all of them.
            SafeExposures = isWhole ? result.SafeExposures : null,
            NextTake = judgement.Ruling == Ruling.Watch ? NextTake(used, missing) ?? result.NextTake : result.NextTake,
            LevelsUsed = fixture.LevelsUsed,
            Price = fixture.Price,
            Mode = fixture.Mode,
            Firmware = fixture.Firmware,
            Notes = Notes(fixture),
        };
    }

    private static JudgedLevel Nothing(double? dimmer, TakeFailure[] gaps)
    {
        string sentence = gaps.Length > 0
            ? string.Join(" ", gaps.Select(g => g.Message))
            : $"{(dimmer is null ? "The fixture" : $"The level {Percent(dimmer.Value)}")} is in use but no take shows it: shoot one.";
        Judgement judgement = Judge.NothingToJudge(sentence);
        return new JudgedLevel(
            new LevelResult
            {
                Dimmer = dimmer,
                Verdict = LevelJudge.Word(judgement.Ruling),
                Light = new LightResult { CandidatesHz = [], Components = [] },
                Formats = [],
                Takes = [],
            },
            judgement, [], [], []);
    }

    // A take that was wanted and is not there leaves a question open: no pass, for the level and for each format.
    private static JudgedLevel WithGaps(JudgedLevel level, TakeFailure[] gaps)
    {
        if (gaps.Length == 0) return level;
        Reason[] reasons = [.. gaps.Select(g => new Reason(FindingCodes.MissingTake, $"Without the take '{g.Clip}' the question is open. {g.Message}"))];
        Judgement Open(Judgement judgement) => judgement.Ruling == Ruling.Pass
            ? new Judgement(Ruling.Watch, [.. reasons, .. judgement.Reasons])
            : judgement with { Reasons = [.. judgement.Reasons, .. reasons] };
        Judgement opened = Open(level.Judgement);
        return level with
        {
            Judgement = opened,
            Formats = [.. level.Formats.Select(f => (f.Format, Open(f.Judgement)))],
            Result = level.Result with
            {
                Verdict = LevelJudge.Word(opened.Ruling),
                Formats = [.. level.Result.Formats.Select((f, i) => f with
                {
                    Verdict = LevelJudge.Word(Open(level.Formats[i].Judgement).Ruling),
                    Reasons = [.. Open(level.Formats[i].Judgement).Reasons.Select(LevelJudge.Record)],
                })],
            },
        };
    }

    private static string? NextTake(JudgedLevel[] used, IReadOnlyList<TakeFailure> missing)
    {
        if (missing.Count > 0) return $"Put the take '{missing[0].Clip}' right first.";
        double?[] bare = [.. used.Where(l => l.Takes.Count == 0).Select(l => l.Result.Dimmer)];
        return bare.Length == 0 ? null : $"Shoot the fixture at {string.Join(", ", bare.Select(l => l is null ? "the level in use" : Percent(l.Value)))}: no take shows it yet.";
    }

    private static string? Notes(AuditionFixture fixture)
    {
        string[] parts = [.. new[] { fixture.Notes }.OfType<string>(), .. fixture.More.Select(m => $"{m.Key}: {m.Value}")];
        return parts.Length == 0 ? null : string.Join("; ", parts);
    }

    private static string Percent(double share) => string.Create(CultureInfo.InvariantCulture, $"{share * 100:0.#} %");
}
