using System.Globalization;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Reports;

/// <summary>The dimmer levels in use over which a fixture passes without a gap, as far as levels were measured.</summary>
/// <param name="Low">Lowest passing level of the run, 0…1.</param>
/// <param name="High">Highest passing level of the run, 0…1.</param>
/// <remarks>Only measured levels count, and the range begins and ends with a level in use; a level between them that does not pass breaks it, in use or not. Between two neighbours that pass, the range is taken to pass: that is the usual reading of a dimming
/// curve (common practice, no source). Of several runs the widest is meant, of equal ones the upper.</remarks>
public sealed record DimmingRange(double Low, double High)
{
    /// <summary>Width of the range, 0…1.</summary>
    public double Span => High - Low;

    /// <summary>The range of a fixture; null when no level with a known dimmer setting passes.</summary>
    public static DimmingRange? Of(FixtureResult fixture)
    {
        DimmingRange? best = null, run = null;
        foreach (IGrouping<double, LevelResult> level in fixture.Levels.Where(level => level.Dimmer is not null).GroupBy(level => level.Dimmer!.Value).OrderBy(group => group.Key))
        {
            bool passes = level.All(result => result.Verdict == "pass");
            if (passes && !level.Any(fixture.IsInUse)) continue;
            run = passes ? (run is null ? new DimmingRange(level.Key, level.Key) : run with { High = level.Key }) : null;
            if (run is not null && (best is null || run.Span >= best.Span)) best = run;
        }
        return best;
    }

    /// <summary>The range in words, such as <c>25–100 %</c> or <c>100 % only</c>.</summary>
    public override string ToString() => Low == High
        ? string.Create(CultureInfo.InvariantCulture, $"{High * 100:0.#} % only")
        : string.Create(CultureInfo.InvariantCulture, $"{Low * 100:0.#}–{High * 100:0.#} %");
}
