using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;

namespace FlickerProbe.Verdict;

/// <summary>Holds forecasts against the lines of a policy.</summary>
/// <remarks>Pass: the upper bounds lie under the pass lines and no finding forbids it. Fail: a lower bound lies over a fail line. Watch: all else,
/// also where the footage can't tell. Every ruling carries reasons with the number, the line and the line's source, the weightiest first.</remarks>
public static class Judge
{
    /// <summary>The ruling for one format.</summary>
    /// <param name="forecast">What the light shows there.</param>
    /// <param name="evidence">The takes behind it; where one was shot at this very setting its own depth counts.</param>
    /// <param name="policy">The lines.</param>
    public static Judgement Format(FormatForecast forecast, IReadOnlyList<TakeMeasurement> evidence, Policy policy)
    {
        FormatForecast best = DirectMeasurement.Apply(forecast, evidence);
        // Takes of one light are fused: whatever makes one of them untrustworthy touches the whole.
        Finding[] findings = [.. best.Doubts.Concat(evidence.SelectMany(t => Open(t, evidence))).DistinctBy(f => (f.Code, f.Message))];
        return Against(best, findings, policy, noEvidence: evidence.Count == 0);
    }

    /// <summary>The doubts about a take that its companions did not settle.</summary>
    private static IEnumerable<Finding> Open(TakeMeasurement take, IReadOnlyList<TakeMeasurement> evidence) =>
        evidence.Count > 1 && StandingLight.IsSettled(take, evidence) ? take.Findings.Where(f => f.ForbidsPass || f.Code != FindingCodes.LockedBands) : take.Findings;

    /// <summary>The ruling for one format by the lines and the forecast's own doubts alone, as maps and tables of many formats use it.</summary>
    public static Judgement Format(FormatForecast forecast, Policy policy) => Against(forecast, forecast.Doubts, policy, noEvidence: false);

    /// <summary>The ruling for a dimmer level: the worst of its formats.</summary>
    public static Judgement Level(IReadOnlyList<(string Name, Judgement Judgement)> formats) => Worst(formats, "No format was judged at this level.");

    /// <summary>The ruling for a fixture: the worst of the levels it is used at. A level in use without a take is a <c>Watch</c> with <see cref="FindingCodes.MissingTake"/>.</summary>
    public static Judgement Fixture(IReadOnlyList<(string Name, Judgement Judgement)> levels) => Worst(levels, "No level of this fixture was measured.");

    /// <summary>The ruling where there is nothing to judge by.</summary>
    public static Judgement NothingToJudge(string sentence) => new(Ruling.Watch, [new Reason(FindingCodes.MissingTake, sentence)]);

    private static Judgement Worst(IReadOnlyList<(string Name, Judgement Judgement)> parts, string nothing)
    {
        if (parts.Count == 0) return NothingToJudge(nothing);
        Ruling worst = parts.Max(p => p.Judgement.Ruling);
        // Every part's first reason, the parts with the worst ruling first, named only where there is more than one.
        Reason[] reasons = [.. parts.OrderByDescending(p => p.Judgement.Ruling)
            .SelectMany(p => p.Judgement.Reasons.Take(p.Judgement.Ruling == worst ? 3 : 1)
                .Select(r => parts.Count == 1 || p.Name.Length == 0 ? r : r with { Message = $"{p.Name}: {r.Message}" }))
            .DistinctBy(r => (r.Code, r.Message))];
        return new Judgement(worst, reasons);
    }

    private static Judgement Against(FormatForecast forecast, IReadOnlyList<Finding> findings, Policy policy, bool noEvidence)
    {
        (Ruling depth, Reason depthReason) = Compare(forecast.ModulationDepth, policy.Depth, "The modulation depth on camera");
        (Ruling pulsing, Reason pulsingReason) = Compare(forecast.PulsingDepth, policy.Pulsing, "The pulsing of the whole picture between 2 and 30 Hz");
        Ruling byLines = (Ruling)Math.Max((int)depth, (int)pulsing);

        List<Reason> reasons = [depthReason];
        // Pulsing is worth a word when it decides, or when there is any.
        if (pulsing > Ruling.Pass || forecast.PulsingDepth.Value > 0) reasons.Add(pulsingReason);
        if (pulsing > depth) reasons.Reverse();

        Finding[] forbidding = [.. findings.Where(f => f.ForbidsPass)];
        Ruling ruling = byLines;
        if (byLines == Ruling.Pass && (forbidding.Length > 0 || noEvidence))
        {
            ruling = Ruling.Watch;
            reasons.InsertRange(0, forbidding.Select(AsReason));
            if (noEvidence) reasons.Insert(0, new Reason(FindingCodes.MissingTake, "There is no take to judge by: shoot one."));
        }
        else
        {
            reasons.AddRange(forbidding.Select(AsReason));
        }

        // What widened the interval is the reason behind a watch.
        bool boundDecides = ruling == Ruling.Watch && forecast.ModulationDepth.Value < policy.Depth.Pass && forecast.PulsingDepth.Value < policy.Pulsing.Pass;
        foreach (Finding finding in findings.Where(f => !f.ForbidsPass && (Explains(f) && ruling == Ruling.Watch || f.Code is FindingCodes.ViewerFlashHazard or FindingCodes.ColoursUnmeasured)))
            reasons.Insert(boundDecides && Explains(finding) ? 0 : reasons.Count, AsReason(finding));
        return new Judgement(ruling, [.. reasons.DistinctBy(r => (r.Code, r.Message))]);
    }

    private static bool Explains(Finding finding) => finding.Code is FindingCodes.HiddenAtShutter or FindingCodes.LockedBands or FindingCodes.ShutterUnknown
        or FindingCodes.AmbiguousFrequency or FindingCodes.CrushedRecording or FindingCodes.MissingTake or FindingCodes.ReadoutUnknown;

    private static Reason AsReason(Finding finding) => new(finding.Code, finding.Message);

    private static (Ruling Ruling, Reason Reason) Compare(Estimate depth, Lines lines, string what)
    {
        if (depth.Low > lines.Fail)
        {
            return (Ruling.Fail, new Reason(FindingCodes.OverFailLine,
                $"{what} is {Percent.Of(depth.Value)}, at least {Percent.Of(depth.Low)}: over the fail line of {Percent.Of(lines.Fail)}.", lines.Fail, lines.Source));
        }
        if (depth.High < lines.Pass)
        {
            return (Ruling.Pass, new Reason(FindingCodes.UnderPassLine,
                $"{what} is at most {Percent.Of(depth.High)}: under the pass line of {Percent.Of(lines.Pass)}.", lines.Pass, lines.Source));
        }
        return (Ruling.Watch, new Reason(FindingCodes.BetweenLines,
            $"{what} is {Percent.Of(depth.Value)} and lies between {Percent.Of(depth.Low)} and {Percent.Of(depth.High)}: neither surely under the pass line of {Percent.Of(lines.Pass)} nor surely over the fail line of {Percent.Of(lines.Fail)}.",
            lines.Pass, lines.Source));
    }
}
