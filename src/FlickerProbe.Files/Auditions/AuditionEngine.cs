using System.Collections.Concurrent;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Policies;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Files.Auditions;

/// <summary>Runs a whole audition: every take, the fusion of the takes of one fixture at one level, the verdicts.</summary>
/// <param name="measurer">Measures one take.</param>
/// <param name="cache">Keeps measurements between runs; null to measure everything anew.</param>
/// <param name="clock">Says when the result was made.</param>
public sealed class AuditionEngine(ITakeMeasurer measurer, TakeCache? cache, TimeProvider clock)
{
    /// <summary>Measures and judges. A take that can't be measured is reported and leaves a gap; the others go on.</summary>
    /// <param name="audition">What to do.</param>
    /// <param name="policy">A venue's own lines; null for the built-in ones.</param>
    /// <param name="options">How.</param>
    /// <param name="progress">Told how far each take is; null for nobody. Called from several threads.</param>
    /// <param name="cancellation">Ends the work; what was measured until then is kept.</param>
    /// <exception cref="ProgramMissingException">ffmpeg or ffprobe is missing.</exception>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public async Task<AuditionOutcome> RunAsync(
        Audition audition, LoadedPolicy? policy, AuditionOptions options, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        (AuditionFixture Fixture, AuditionTake Take)[] jobs = [.. audition.Fixtures.SelectMany(f => f.Takes.Select(t => (f, t)))];
        var done = new (TakeOutcome? Outcome, string? Problem, bool Kept)[jobs.Length];
        // Clips shared by several fixtures are hashed once, whoever comes first.
        var hashes = new ConcurrentDictionary<string, Lazy<string>>();
        var parallel = new ParallelOptions { MaxDegreeOfParallelism = Math.Max(1, options.AtOnce), CancellationToken = cancellation };
        await Parallel.ForAsync(0, jobs.Length, parallel, (i, token) =>
        {
            done[i] = One(audition, jobs[i].Take, options, hashes, progress, token);
            return ValueTask.CompletedTask;
        }).ConfigureAwait(false);

        var judged = new (FixtureResult Result, List<TakeFailure> Missing)[audition.Fixtures.Count];
        Parallel.For(0, judged.Length, new ParallelOptions { CancellationToken = cancellation }, f =>
        {
            AuditionFixture fixture = audition.Fixtures[f];
            List<MeasuredAtLevel> measured = [];
            List<TakeFailure> missing = [];
            for (int i = 0; i < jobs.Length; i++)
            {
                if (jobs[i].Fixture != fixture) continue;
                AuditionTake take = jobs[i].Take;
                (TakeOutcome? outcome, string? problem, bool _) = done[i];
                problem ??= outcome?.Sweep?.Problem?.Message;
                if (problem is not null) missing.Add(new TakeFailure(fixture.Name, take.Clip, take.Line, take.Levels, problem, outcome?.Sweep));
                else measured.AddRange(outcome!.Levels.Select(l => l with { Take = Named(l.Take, take) }));
            }
            judged[f] = (AuditionJudge.Fixture(fixture, measured, missing, audition.Formats, policy?.Policy ?? Policy.Default, options.WithPictures), missing);
        });
        var result = new ResultDocument
        {
            Tool = new ToolInfo(ProgramVersion.Text) { PolicySha256 = policy?.Sha256 },
            Title = audition.Title,
            TestedBy = audition.TestedBy,
            TestedOn = audition.TestedOn,
            Created = clock.GetUtcNow(),
            Fixtures = [.. judged.Select(j => j.Result)],
        };
        return new AuditionOutcome(result, [.. judged.SelectMany(j => j.Missing)], [.. audition.Remarks.Select(r => r.Message)], done.Count(d => d.Kept));
    }

    private (TakeOutcome? Outcome, string? Problem, bool Kept) One(
        Audition audition, AuditionTake take, AuditionOptions options, ConcurrentDictionary<string, Lazy<string>> hashes, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        try
        {
            TakeRequest request = TakeRequests.Of(audition, take, options);
            foreach (string? path in new[] { take.ClipPath, take.ReferencePath })
            {
                if (path is not null && !File.Exists(path))
                    return (null, $"The clip '{(path == take.ClipPath ? take.Clip : take.Reference)}' is not there: copy it beside the audition file, or correct its name.", false);
            }
            TakeOutcome Measured()
            {
                TakeOutcome outcome = measurer.Measure(take, request, progress, cancellation);
                // The take's rows are done with: the next take's would come on top of them.
                LargePlanes.GiveBack();
                return outcome;
            }
            if (cache is null) return (Measured(), null, false);

            string Hash(string path) => hashes.GetOrAdd(path, p => new Lazy<string>(() => cache.Sha256(p, cancellation))).Value;
            TakeKey key = TakeKey.Of(audition, take, request, Hash);
            if (cache.Find(key, take.Dimmer, options.WithPictures) is { } kept)
            {
                progress?.Report(new StageProgress($"{Path.GetFileName(take.Clip)}: kept from an earlier run", 1));
                return (kept, null, true);
            }
            TakeOutcome outcome = Measured();
            // Kept only when what was read is what was hashed.
            if (outcome.Levels.All(l => l.Take.Sha256 == key.ClipSha256)) cache.Keep(key, outcome, options.WithPictures);
            return (outcome, null, false);
        }
        catch (Exception problem) when (problem is InputException or ClipException or IOException or UnauthorizedAccessException)
        {
            return (null, problem.Message, false);
        }
    }

    // The name under which results speak of the clip, and the camera, are the audition's and no part of what is kept.
    private static MeasuredTake Named(MeasuredTake measured, AuditionTake take) => measured with
    {
        ClipName = take.Clip,
        Measurement = measured.Measurement with { Take = measured.Measurement.Take with { CameraName = take.Camera } },
        Channels = [.. measured.Channels.Select(c => c with { Measurement = c.Measurement with { Take = c.Measurement.Take with { CameraName = take.Camera } } })],
    };
}
