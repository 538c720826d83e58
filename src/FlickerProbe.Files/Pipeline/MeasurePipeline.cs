using FlickerProbe.Camera;
using FlickerProbe.Files.Policies;
using FlickerProbe.Files.Results;
using FlickerProbe.Verdict;

namespace FlickerProbe.Files.Pipeline;

/// <summary>What <c>measure</c> is asked beyond the take itself.</summary>
/// <param name="Take">The clip, its settings and regions.</param>
/// <param name="Formats">House formats; empty: the clip's own rate and shutter.</param>
/// <param name="FixtureName">What to call the light; null: the region's name or the file's.</param>
/// <param name="Dimmer">Dimmer level it was shot at, 0…1; null when unknown.</param>
/// <param name="Policy">A venue's own lines; null for the built-in ones.</param>
public sealed record MeasureRequest(TakeRequest Take, IReadOnlyList<CameraFormat> Formats, string? FixtureName, double? Dimmer, LoadedPolicy? Policy);

/// <summary>All stages in a row for one clip: read, sample, estimate, fuse, forecast, judge, write down.</summary>
/// <param name="measurer">Does the first half.</param>
/// <param name="clock">Says when the result was made.</param>
public sealed class MeasurePipeline(TakeMeasurer measurer, TimeProvider clock)
{
    /// <summary>Measures and judges one clip: one fixture per region.</summary>
    /// <inheritdoc cref="TakeMeasurer.Measure"/>
    public ResultDocument Run(MeasureRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        IReadOnlyList<MeasuredTake> takes = measurer.Measure(request.Take, progress, cancellation);
        Policy policy = request.Policy?.Policy ?? Policy.Default;
        var fixtures = new List<FixtureResult>();
        for (int n = 0; n < takes.Count; n++)
        {
            cancellation.ThrowIfCancellationRequested();
            JudgedLevel level = LevelJudge.Judge(request.Dimmer, [takes[n]], request.Formats, policy);
            fixtures.Add(FixtureJudge.Judge(Name(request, takes, n), [level], policy, request.Take.WithPictures));
        }
        return new ResultDocument
        {
            Tool = new ToolInfo(ProgramVersion.Text) { PolicySha256 = request.Policy?.Sha256 },
            Created = clock.GetUtcNow(),
            Fixtures = fixtures,
        };
    }

    private static string Name(MeasureRequest request, IReadOnlyList<MeasuredTake> takes, int n)
    {
        string name = request.FixtureName ?? Path.GetFileNameWithoutExtension(request.Take.Clip);
        // What was found by itself is named by its place in the picture, which alone says little.
        if (takes[n].Region.Name is { Length: > 0 } region) return request.Take.Regions.Count == 0 ? $"{name} {region}" : region;
        return takes.Count == 1 ? name : FormattableString.Invariant($"{name} {n + 1}");
    }
}
