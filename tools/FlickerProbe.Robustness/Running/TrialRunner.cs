using System.Diagnostics;
using FlickerProbe.Cli;
using FlickerProbe.Cli.Terminal;

namespace FlickerProbe.Robustness.Running;

/// <summary>Makes a trial's input, calls the program inside this process, judges the ending, throws all away.</summary>
internal static class TrialRunner
{
    /// <summary>How long a call that was told to stop may take to do so.</summary>
    private static readonly TimeSpan Grace = TimeSpan.FromSeconds(15);

    public static TrialResult Run(Trial trial, string? keepIn)
    {
        string folder = Directory.CreateTempSubdirectory("robustness-").FullName;
        try
        {
            string[] arguments;
            try
            {
                arguments = trial.Prepare(folder);
            }
            catch (InvalidOperationException problem)
            {
                return new TrialResult(trial, null, null, 0, [$"could not be made: {problem.Message}"], "");
            }
            HashSet<string> before = [.. Everything(folder)];
            Ending ending = Call(trial, arguments, folder);
            (string? verdict, List<string> wrong) = EndingJudge.Judge(trial, ending, before);
            if (wrong.Count > 0 && keepIn is not null) Keep(folder, keepIn, trial);
            return new TrialResult(trial, ending.Status, verdict, ending.Seconds, wrong, ending.Status == 0 ? "" : ending.Refusal);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    internal static IEnumerable<string> Everything(string folder) => Directory.EnumerateFileSystemEntries(folder, "*", SearchOption.AllDirectories);

    private static Ending Call(Trial trial, string[] arguments, string folder)
    {
        var output = new StringWriter();
        var error = new StringWriter();
        var streams = new Streams(TextWriter.Synchronized(output), TextWriter.Synchronized(error), () => Stream.Null, ErrorIsTerminal: false, InputIsTerminal: false, TextReader.Null);
        using var cancel = new CancellationTokenSource(trial.Limit);
        var watch = Stopwatch.StartNew();
        Task<int> call = Task.Run(() => new Application(streams).RunAsync(arguments, cancel.Token));
        bool ended = call.Wait(trial.Limit + Grace);
        int? status = ended && !cancel.IsCancellationRequested ? call.Result : null;
        return new Ending(status, output.ToString(), error.ToString(), watch.Elapsed.TotalSeconds, folder);
    }

    private static void Keep(string folder, string keepIn, Trial trial)
    {
        string name = new([.. $"{trial.Class}-{trial.Name}".Select(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '-' ? c : '-')]);
        string place = Path.Combine(keepIn, name.Length <= 120 ? name : name[..120]);
        Directory.CreateDirectory(place);
        foreach (string file in Directory.EnumerateFiles(folder)) File.Copy(file, Path.Combine(place, Path.GetFileName(file)), overwrite: true);
    }
}
