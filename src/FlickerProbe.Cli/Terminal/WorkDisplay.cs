using FlickerProbe.Files.Pipeline;

namespace FlickerProbe.Cli.Terminal;

/// <summary>Shows on standard error how work goes on.</summary>
internal static class WorkDisplay
{
    /// <summary>Does the work and shows its progress: bars for a person, plain lines otherwise.</summary>
    public static Task<T> RunAsync<T>(Streams streams, Func<IProgress<StageProgress>, Task<T>> work) =>
        streams.ErrorIsTerminal ? ProgressBars.RunAsync(streams.Error, work) : work(new ProgressLines(streams.Error, TimeProvider.System));
}
