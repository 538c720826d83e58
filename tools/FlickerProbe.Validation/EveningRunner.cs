using FlickerProbe.Files.Results;
using FlickerProbe.Rendering;
using FlickerProbe.Validation.Cases;
using static System.FormattableString;

namespace FlickerProbe.Validation;

/// <summary>Renders an evening's takes, runs the audition on them, and throws them away.</summary>
public static class EveningRunner
{
    /// <summary>Renders and measures; with <paramref name="keepIn"/> the clips, the audition file and the report stay in that folder.</summary>
    public static EveningResult Run(EveningCase evening, string? keepIn = null, CancellationToken cancel = default)
    {
        string folder = keepIn ?? Directory.CreateTempSubdirectory("evening-").FullName;
        try
        {
            List<string> clips = [];
            foreach (ValidationCase take in evening.Takes)
            {
                clips.Add(Invariant($"seed-{evening.Seed}-take-{clips.Count + 1}{take.Extension}"));
                ClipRenderer.Render(take.Recipe, Path.Combine(folder, clips[^1]));
            }
            string file = Path.Combine(folder, Invariant($"seed-{evening.Seed}.yaml"));
            File.WriteAllText(file, ProgramCall.AuditionFile(evening, clips));
            (ResultDocument? document, string? refusal) = ProgramCall.Run(["audition", file, "--json", "-"], cancel);
            FixtureResult? fixture = document?.Fixtures[0];
            return new EveningResult
            {
                Seed = evening.Seed,
                Fingerprint = Fingerprints.Of(evening),
                Refusal = refusal,
                Formats = [.. evening.Formats.Select((f, i) => Outcome(fixture?.Levels[0], i, evening.TrueDepth(f)))],
                NextTake = fixture?.NextTake,
            };
        }
        finally
        {
            if (keepIn is null) Directory.Delete(folder, true);
        }
    }

    private static FormatOutcome Outcome(LevelResult? level, int format, double trueDepth) => level is null
        ? new FormatOutcome(null, null, trueDepth, [])
        : new FormatOutcome(level.Formats[format].Verdict, level.Formats[format].ModulationDepth, trueDepth,
            [.. level.Formats[format].Reasons.Concat(level.Light.Warnings).Concat(level.Takes.SelectMany(t => t.Warnings)).Select(r => r.Code).Distinct()]);
}
