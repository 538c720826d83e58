using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Files.Auditions;

/// <summary>What a fixture's result comes to, in one plain sentence.</summary>
public static class DecisionSentence
{
    /// <summary>The sentence.</summary>
    public static string Of(FixtureResult fixture)
    {
        if (fixture.Levels.All(l => l.Takes.Count == 0)) return "Nothing of it was measured, so nothing can be said.";
        string usable = DimmingRange.Of(fixture) is { } range ? $"; it passes at {range} of the dimmer" : "";
        switch (fixture.Verdict)
        {
            case "pass":
                int formats = fixture.LevelsInUse.SelectMany(l => l.Formats).Select(Name).Distinct().Count();
                return $"It can be used{(DimmingRange.Of(fixture) is { } passing ? $" at {passing} of the dimmer" : "")} at {(formats == 1 ? "the format" : $"all {formats} formats")} asked for.";
            case "watch":
                string open = fixture.Reasons.Count > 0 ? fixture.Reasons[0].Message.TrimEnd('.') : "The evidence does not decide";
                return $"Not decided{usable}: {open}{(fixture.NextTake is null ? "" : "; the next take is named")}.";
            default:
                (LevelResult Level, FormatResult Format)[] failing = [.. fixture.LevelsInUse.SelectMany(l => l.Formats.Select(f => (l, f))).Where(p => p.f.Verdict == "fail")];
                if (failing.Length == 0) return $"It can not be used{usable}.";
                (LevelResult level, FormatResult worst) = failing.MaxBy(p => p.Format.ModulationDepth.Value);
                string at = level.Dimmer is { } dimmer ? string.Create(CultureInfo.InvariantCulture, $", dimmed to {dimmer * 100:0.#} %,") : "";
                string safe = fixture.SafeExposures is { Count: > 0 } exposures ? $"; {exposures[0].Label} at {FrameRate.Parse(exposures[0].FrameRate).ToShortText()} fps is safe at every level" : "";
                return string.Create(CultureInfo.InvariantCulture, $"It flickers: {worst.ModulationDepth.Value * 100:0.#} % on camera{at} at {Name(worst)}{usable}{safe}.");
        }
    }

    private static string Name(FormatResult format)
    {
        FrameRate rate = format.FrameRate is null ? FrameRate.OfStill : FrameRate.Parse(format.FrameRate);
        return new CameraFormat(rate, format.ExposureTime is { } s ? ExposureTime.FromSeconds(s) : null, null, format.Camera).ToShortText();
    }
}
