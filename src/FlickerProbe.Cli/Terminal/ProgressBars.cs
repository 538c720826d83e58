using FlickerProbe.Files.Pipeline;
using Spectre.Console;

namespace FlickerProbe.Cli.Terminal;

/// <summary>Progress for a person: one moving bar for each piece of work, cleared at the end.</summary>
internal static class ProgressBars
{
    /// <summary>Does the work while the bars move.</summary>
    public static async Task<T> RunAsync<T>(TextWriter error, Func<IProgress<StageProgress>, Task<T>> work)
    {
        // Spectre.Console itself respects NO_COLOR and what the terminal can do.
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(error) });
        Progress bars = console.Progress().AutoClear(true).HideCompleted(false)
            .Columns(new TaskDescriptionColumn { Alignment = Justify.Left }, new ProgressBarColumn(), new PercentageColumn(), new RemainingTimeColumn());
        // The work runs apart from the drawing; an exception of the work must come out as it is, not wrapped.
        return await bars.StartAsync(context => Task.Run(() => work(new Bars(context)))).ConfigureAwait(false);
    }

    private sealed class Bars(ProgressContext context) : IProgress<StageProgress>
    {
        private readonly Dictionary<string, ProgressTask> _tasks = [];
        private readonly Lock _lock = new();

        public void Report(StageProgress value)
        {
            lock (_lock)
            {
                if (!_tasks.TryGetValue(value.Work, out ProgressTask? task))
                {
                    task = context.AddTask(Markup.Escape(SafeText.Line(value.Work)), maxValue: 1);
                    _tasks[value.Work] = task;
                }
                task.IsIndeterminate = value.Share is null;
                if (value.Share is { } share) task.Value = Math.Clamp(share, 0, 1);
            }
        }
    }
}
