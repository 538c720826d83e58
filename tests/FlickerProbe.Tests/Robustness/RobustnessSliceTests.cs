using System.Collections.Concurrent;
using FlickerProbe.Robustness;
using FlickerProbe.Robustness.Corpus;
using FlickerProbe.Robustness.Running;
using Xunit.Abstractions;
using HostileReferences = FlickerProbe.Robustness.Corpus.References;

namespace FlickerProbe.Tests.Robustness;

/// <summary>A slice of tools/robustness: some hostile inputs of each class, the same in every run.</summary>
public sealed class RobustnessSliceTests(ITestOutputHelper output)
{
    private static readonly HashSet<string> Needed =
    [
        "mp4 libx264", "mov prores_ks", "ts libx264", "mkv ffv1", "y4m wrapped_avframe", "avi rawvideo", "png png", "gif gif", "bmp bmp", "ivf libvpx", "ppm ppm", "tiff tiff", "jpg mjpeg", "h264 libx264", "webp libwebp",
    ];

    [Fact]
    public void Hostile_inputs_end_as_promised()
    {
        if (OperatingSystem.IsWindows()) return; // devices and names that only other systems have
        (IReadOnlyList<SeedClip> seeds, _) = SeedClips.Make(Needed);
        Trial[] trials =
        [
            .. OneIn(5, DamagedClips.Truncated(seeds)), .. DamagedClips.Flipped(seeds, 30, 7000), .. OneIn(13, LyingHeaders.All(seeds)),
            .. OneIn(9, HostileReferences.All(seeds)), .. OneIn(11, HostileText.All(seeds)), .. OneIn(8, HostileNames.All(seeds)),
        ];
        ConcurrentBag<TrialResult> results = [];
        Parallel.ForEach(trials, new ParallelOptions { MaxDegreeOfParallelism = 2 }, trial => results.Add(TrialRunner.Run(trial, null)));

        string[] wrong = [.. results.Where(r => r.Wrong.Count > 0).Select(r => $"{r.Trial.Class}: {r.Trial.Name}: {string.Join("; ", r.Wrong)}")];
        output.WriteLine(FormattableString.Invariant($"{results.Count} trials, {results.Count(r => r.Status is 0 or 1)} measured"));
        Assert.Empty(wrong);
        // A slice in which everything is refused, or everything measured, would prove little.
        Assert.InRange(results.Count(r => r.Status == 0), 20, results.Count - 40);
    }

    private static IEnumerable<Trial> OneIn(int few, IEnumerable<Trial> trials) => trials.Where((_, n) => n % few == 0);
}
