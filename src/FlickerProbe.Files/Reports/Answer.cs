using System.Globalization;
using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Reports;

/// <summary>What a tired reader needs of one fixture: verdict, the one sentence why, the safe thing to do.</summary>
/// <param name="Fixture">The fixture's name, cleaned.</param>
/// <param name="Verdict">pass, watch or fail.</param>
/// <param name="Headline">The verdict in words.</param>
/// <param name="Why">One sentence.</param>
/// <param name="Do">What to do, most useful first; at least one sentence.</param>
public sealed record Answer(string Fixture, string Verdict, string Headline, string Why, IReadOnlyList<string> Do)
{
    /// <summary>The answer for a fixture.</summary>
    public static Answer For(FixtureResult fixture)
    {
        bool open = fixture.NextTake is not null;
        return new Answer(
            Words.Clean(fixture.Name),
            fixture.Verdict,
            $"{Words.Verdict(fixture.Verdict)}: {Words.Meaning(fixture.Verdict, open)}",
            fixture.Reasons.Count > 0 ? Words.Clean(fixture.Reasons[0].Message) : "No reason was recorded.",
            Steps(fixture).ToList());
    }

    /// <summary>The fixtures in the declared order of the decision sheet: verdict, then usable dimming range, then price, then name.</summary>
    public static IReadOnlyList<FixtureResult> InOrderOfDecision(IEnumerable<FixtureResult> fixtures) => [.. DecisionSheet.Of(fixtures).Rows.Select(row => row.Fixture)];

    /// <summary>The step to take first, and the sentence of the next take where one is open: what a sheet over many fixtures has room for.</summary>
    public static string First(FixtureResult fixture)
    {
        if (fixture.NextTake is not { } next) return For(fixture).Do[0];
        // The reason why that take stands on the fixture's own page.
        int end = next.IndexOf(". ", StringComparison.Ordinal);
        string take = "Next take: " + Words.Clean(end < 0 ? next : next[..(end + 1)]);
        return fixture.Advice.Count == 0 ? take : $"{Words.Clean(fixture.Advice[0])} {take}";
    }

    private static IEnumerable<string> Steps(FixtureResult fixture)
    {
        bool any = false;
        foreach (string advice in fixture.Advice)
        {
            any = true;
            yield return Words.Clean(advice);
        }
        if (fixture.NextTake is not null)
        {
            any = true;
            yield return "Next take: " + Words.Clean(fixture.NextTake);
        }
        if (any) yield break;

        yield return fixture.Verdict switch
        {
            "pass" when fixture.Reasons.Any(reason => reason.Code == FindingCodes.ColoursUnmeasured) => "Use it at the formats below if all its colours share one driver: brightness alone was measured.",
            "pass" => "Nothing to do: use it at the formats below.",
            _ when SafeShutters(fixture) is { } safe => "Use a safe shutter: " + safe + ".",
            "fail" => "Do not use it on camera at the formats below.",
            _ => "Do not rely on it on camera until the doubts below are settled.",
        };
    }

    /// <summary>Safe shutters by frame rate, such as <c>29.97 fps: 1/60 s, 1/120 s</c>; null when none was found or looked for.</summary>
    public static string? SafeShutters(FixtureResult fixture) => fixture.SafeExposures is not { Count: > 0 } safe
        ? null
        : string.Join("; ", safe.GroupBy(exposure => exposure.FrameRate).Select(group => $"{Words.Rate(group.Key)} fps: {string.Join(", ", group.Select(exposure => Words.Clean(exposure.Label)))}"));
}
