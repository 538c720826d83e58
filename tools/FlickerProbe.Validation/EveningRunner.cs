using System.Text.RegularExpressions;
using FlickerProbe.Files.Results;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Validation.Cases;
using static System.FormattableString;

namespace FlickerProbe.Validation;

/// <summary>Renders an evening's takes, runs the audition on them, and throws them away.</summary>
internal static partial class EveningRunner
{
    /// <summary>More takes than this nobody shoots of one lamp.</summary>
    public const int MostTakes = 5;

    /// <summary>Renders and measures; with <paramref name="keepIn"/> the clips, the audition file and the report stay in that folder.</summary>
    public static EveningResult Run(EveningCase evening, string? keepIn = null, CancellationToken cancel = default) =>
        In(keepIn, folder => Judge(evening, folder, cancel));

    /// <summary>Shoots on as the program asks until the fixture has its verdict, nothing more is asked for or <see cref="MostTakes"/> are shot.</summary>
    /// <param name="first">The evening with its first take.</param>
    /// <param name="keepIn">Where clips, audition file and report stay; null: nowhere.</param>
    /// <param name="cancel">Ends it.</param>
    public static AskedResult RunAsAsked(EveningCase first, string? keepIn = null, CancellationToken cancel = default) => In(keepIn, folder =>
    {
        EveningCase evening = first;
        List<EveningResult> after = [Judge(evening, folder, cancel)];
        while (after.Count < MostTakes && after[^1] is { IsSettled: false, NextTake: { } asked } && Setting().Match(asked) is { Success: true } setting)
        {
            FrameRate rate = FrameRate.Parse(setting.Groups["rate"].Value);
            double exposure = 1 / double.Parse(setting.Groups["over"].Value, System.Globalization.CultureInfo.InvariantCulture);
            evening = setting.Groups["again"].Success ? evening.Again(rate, exposure) : evening.With(rate, exposure);
            after.Add(Judge(evening, folder, cancel));
        }
        return new AskedResult { Seed = first.Seed, Fingerprint = Fingerprints.Of(first), After = after, Shot = evening.Summary() };
    });

    [GeneratedRegex(@"(?<rate>[\d.]+) frames per second and shutter 1/(?<over>[\d.]+) s(?<again> again)?")]
    private static partial Regex Setting();

    private static T In<T>(string? keepIn, Func<string, T> run)
    {
        string folder = keepIn ?? Directory.CreateTempSubdirectory("evening-").FullName;
        try
        {
            return run(folder);
        }
        finally
        {
            if (keepIn is null) Directory.Delete(folder, true);
        }
    }

    private static EveningResult Judge(EveningCase evening, string folder, CancellationToken cancel)
    {
        List<string> clips = [];
        foreach (ValidationCase take in evening.Takes)
        {
            clips.Add(Invariant($"seed-{take.Seed}{take.Extension}"));
            if (!File.Exists(Path.Combine(folder, clips[^1]))) ClipRenderer.Render(take.Recipe, Path.Combine(folder, clips[^1]));
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

    private static FormatOutcome Outcome(LevelResult? level, int format, double trueDepth) => level is null
        ? new FormatOutcome(null, null, trueDepth, [])
        : new FormatOutcome(level.Formats[format].Verdict, level.Formats[format].ModulationDepth, trueDepth,
            [.. level.Formats[format].Reasons.Concat(level.Light.Warnings).Concat(level.Takes.SelectMany(t => t.Warnings)).Select(r => r.Code).Distinct()]);
}
