using FlickerProbe.Camera;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using FlickerProbe.Light;
using FlickerProbe.Prediction;
using FlickerProbe.Verdict;

namespace FlickerProbe.Files.Pipeline;

/// <summary>The levels of one fixture → its verdict, what is safe and what to do.</summary>
public static class FixtureJudge
{
    /// <summary>Most safe exposures to list for one frame rate: more are no help.</summary>
    private const int MostSafeExposures = 6;

    /// <summary>Judges a fixture: the worst of its levels.</summary>
    /// <param name="name">The fixture.</param>
    /// <param name="levels">Its levels, at least one.</param>
    /// <param name="policy">The lines.</param>
    /// <param name="withRiskMap">Whether the risk map is wanted, for a report.</param>
    public static FixtureResult Judge(string name, IReadOnlyList<JudgedLevel> levels, Policy policy, bool withRiskMap)
    {
        Judgement judgement = Verdict.Judge.Fixture([.. levels.Select(l => (l.Name, l.Judgement))]);
        JudgedEmitter[] lights = [.. levels.SelectMany(l => l.Emitters)];
        return new FixtureResult
        {
            Name = name,
            Verdict = LevelJudge.Word(judgement.Ruling),
            Reasons = [.. judgement.Reasons.Select(LevelJudge.Record)],
            Levels = [.. levels.Select(l => l.Result)],
            Advice = AdviceFor(levels, policy),
            NextTake = NextTakeFor(levels, judgement.Ruling, policy),
            SafeExposures = [.. Safe(lights, levels, policy)],
            RiskGrid = withRiskMap ? RiskMapOf(lights, levels, policy) : null,
        };
    }

    /// <summary>What to try, for the worst format of the worst level; empty when all pass.</summary>
    private static IReadOnlyList<string> AdviceFor(IReadOnlyList<JudgedLevel> levels, Policy policy)
    {
        JudgedLevel worst = levels.MaxBy(l => l.Judgement.Ruling)!;
        (CameraFormat format, Judgement judgement) = worst.Formats.MaxBy(f => f.Judgement.Ruling);
        if (judgement.Ruling == Ruling.Pass) return [];
        (string, Ruling)[] others = [.. levels.Where(l => l != worst && l.Result.Dimmer is not null)
            .SelectMany(l => l.Formats.Where(f => f.Format == format).Select(f => (l.Name, f.Judgement.Ruling)))];
        // In a light of many colours the one that is worst here is the one to help.
        LightEstimate light = worst.Emitters.Select(e => e.Light).MaxBy(l => new Forecaster(l).At(format).ModulationDepth.High)!;
        // With several levels the advice is for the worst: what is safe there need not be at the others.
        string where = levels.Count > 1 && worst.Name.Length > 0 ? $"With the dimmer {worst.Name}: " : "";
        return [.. Remedies.For(light, format, others, policy, worst.Takes).Select(advice => where + advice)];
    }

    /// <summary>The take that would settle most where the verdict is open; null where it is not.</summary>
    private static string? NextTakeFor(IReadOnlyList<JudgedLevel> levels, Ruling ruling, Policy policy)
    {
        if (ruling != Ruling.Watch) return null;
        return levels.Where(l => l.Judgement.Ruling == Ruling.Watch)
            .Select(l => (Level: l, Take: NextTake.Suggest(l.Emitters[0].Light, l.Takes, [.. l.Formats.Select(f => f.Format)], policy)))
            .Where(s => s.Take is not null)
            .Select(s => (s.Level.Name.Length == 0 ? "" : $"With the dimmer {s.Level.Name}: ") + s.Take!.Sentence + " " + s.Take.Why)
            .FirstOrDefault();
    }

    private static IEnumerable<SafeExposureResult> Safe(IReadOnlyList<JudgedEmitter> lights, IReadOnlyList<JudgedLevel> levels, Policy policy) =>
        levels.SelectMany(l => l.Formats.Select(f => f.Format)).Where(f => !f.Rate.IsStandIn).DistinctBy(f => f.Rate)
            .SelectMany(f => SafeExposures.Find([.. lights.Select(l => l.Light)], f.Rate, f.Exposure, f.Readout, policy, [.. lights.Select(l => l.Takes)]).Safe.Take(MostSafeExposures))
            .Select(s => new SafeExposureResult(s.Rate.ToString(), s.Exposure.Seconds, s.Label, s.ModulationDepth) { MainsToleranceHz = s.MainsToleranceHz });

    private static RiskGrid RiskMapOf(IReadOnlyList<JudgedEmitter> lights, IReadOnlyList<JudgedLevel> levels, Policy policy)
    {
        ReadoutTime? readout = levels.SelectMany(l => l.Formats).Select(f => f.Format.Readout).FirstOrDefault(r => r is not null);
        RiskMap map = RiskMap.Compute([.. lights.Select(l => l.Light)], StandardSettings.Rates, ShuttersShown, readout, policy);
        int rates = map.Rates.Count, shutters = map.Shutters.Count;
        double?[,] depth = new double?[rates, shutters];
        string?[,] verdicts = new string?[rates, shutters];
        for (int rate = 0; rate < rates; rate++)
        {
            for (int shutter = 0; shutter < shutters; shutter++)
            {
                depth[rate, shutter] = map.Cells[shutter, rate]?.ModulationDepth.High;
                verdicts[rate, shutter] = map.Cells[shutter, rate] is { } cell ? LevelJudge.Word(cell.Ruling) : null;
            }
        }
        return new RiskGrid([.. map.Rates.Select(r => r.ToShortText())], [.. map.Shutters.Select(s => s.Label)], depth, verdicts);
    }

    /// <summary>Those of the standard shutters that a page has room for: fewer times, all of the usual angles.</summary>
    private static IReadOnlyList<ShutterSetting> ShuttersShown { get; } =
    [
        .. new[] { 24, 25, 30, 48, 50, 60, 100, 120, 125, 150, 200, 250, 320, 500, 1000, 2000, 4000, 8000 }.Select(r => ShutterSetting.OfTime(1.0 / r)),
        .. StandardSettings.Shutters.Where(s => s.Degrees is not null),
    ];
}
