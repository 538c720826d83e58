using BenchmarkDotNet.Columns;
using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Jobs;
using BenchmarkDotNet.Loggers;
using BenchmarkDotNet.Reports;
using BenchmarkDotNet.Running;
using BenchmarkDotNet.Toolchains.InProcess.NoEmit;

namespace FlickerProbe.Bench.Kernels;

/// <summary>What one way of doing an inner loop took.</summary>
/// <param name="Step">The step.</param>
/// <param name="Way">Which way of doing it.</param>
/// <param name="Milliseconds">Mean of a call.</param>
/// <param name="Deviation">Standard deviation, milliseconds.</param>
/// <param name="AgainstPlain">Time against the plain loop.</param>
internal sealed record KernelResult(string Step, string Way, double Milliseconds, double Deviation, double AgainstPlain);

/// <summary>Runs the kernels under BenchmarkDotNet, inside this process.</summary>
internal static class KernelRun
{
    private static readonly (string Step, Type Type)[] Kernels =
    [
        ("row means, one 1080p picture, 8 bit", typeof(RowMeans8)),
        ("row means, one 1080p picture, 10 bit", typeof(RowMeans10)),
        ("tone fit, projection of 1800 × 1080 on one tone", typeof(ToneProjection)),
    ];

    /// <summary>All kernels.</summary>
    public static IReadOnlyList<KernelResult> All()
    {
        IConfig config = ManualConfig.CreateEmpty()
            .AddJob(Job.ShortRun.WithIterationCount(7).WithToolchain(InProcessNoEmitToolchain.Instance))
            .AddColumnProvider(DefaultColumnProviders.Instance)
            .AddLogger(NullLogger.Instance)
            .WithOptions(ConfigOptions.DisableLogFile)
            .WithArtifactsPath(Path.Combine("artifacts", "bench", "kernels"));
        List<KernelResult> results = [];
        foreach ((string step, Type type) in Kernels)
        {
            Summary summary = BenchmarkRunner.Run(type, config);
            BenchmarkReport[] reports = [.. summary.Reports.Where(r => r.ResultStatistics is not null)];
            if (reports.Length == 0) throw new InvalidOperationException($"The kernel '{step}' could not be timed.");
            double plain = reports.Single(r => r.BenchmarkCase.Descriptor.Baseline).ResultStatistics!.Mean;
            results.AddRange(reports.Select(r => new KernelResult(
                step, r.BenchmarkCase.Descriptor.WorkloadMethodDisplayInfo.Trim('\''), r.ResultStatistics!.Mean / 1e6, r.ResultStatistics.StandardDeviation / 1e6, r.ResultStatistics.Mean / plain)));
        }
        return results;
    }
}
