using System.Diagnostics;
using FlickerProbe.Files.Results;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Truth;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation;

/// <summary>Renders a case, has it measured, and throws the clip away.</summary>
public static class CaseRunner
{
    /// <summary>Renders and measures; with <paramref name="keepIn"/> the clip and its truth stay in that folder.</summary>
    public static CaseResult Run(ValidationCase c, string? keepIn = null, CancellationToken cancel = default)
    {
        string folder = keepIn ?? Directory.CreateTempSubdirectory("validate-").FullName;
        try
        {
            string clip = Path.Combine(folder, FormattableString.Invariant($"seed-{c.Seed}{c.Extension}"));
            ClipTruth rendered = ClipRenderer.Render(c.Recipe, clip, writeTruth: keepIn is not null);
            string? reference = null, cube = null;
            if (c.Reference is { } off) ClipRenderer.Render(off, reference = Path.Combine(folder, FormattableString.Invariant($"seed-{c.Seed}-off{c.Extension}")));
            if (c.WithCube) c.Recipe.Curve.WriteCube(cube = Path.Combine(folder, FormattableString.Invariant($"seed-{c.Seed}.cube")));
            CaseTruth truth = CaseTruth.Of(c);
            return new CaseResult
            {
                Seed = c.Seed,
                Fingerprint = Fingerprints.Of(c),
                Truth = c.Reference is null ? truth : truth.WithoutOtherLight(c),
                Measured = Measure(c, clip, reference, cube, cancel),
                DepthInClip = rendered.Regions[0].DepthInClip,
                FileBytes = new FileInfo(clip).Length,
            };
        }
        finally
        {
            if (keepIn is null) Directory.Delete(folder, true);
        }
    }

    private static MeasuredClip Measure(ValidationCase c, string clip, string? reference, string? cube, CancellationToken cancel)
    {
        Stopwatch watch = Stopwatch.StartNew();
        (ResultDocument? document, string? refusal) = ProgramCall.Run(ProgramCall.Arguments(c, clip, reference, cube), cancel);
        return document is null ? new MeasuredClip { Refusal = refusal, Seconds = watch.Elapsed.TotalSeconds } : MeasuredClip.Of(document, watch.Elapsed.TotalSeconds);
    }
}
