using System.Diagnostics;
using System.Globalization;

namespace FlickerProbe.Robustness.Running;

/// <summary>Calls the program in a process of its own: for faults that take the process with them.</summary>
internal static class OwnProcess
{
    /// <summary>Where the program lies: beside this one.</summary>
    private static readonly string Program = Path.Combine(AppContext.BaseDirectory, "FlickerProbe.Cli.dll");

    /// <summary>A started call.</summary>
    internal sealed class Call : IDisposable
    {
        private readonly Task<string> _output, _error;

        internal Call(Process process)
        {
            Process = process;
            _output = process.StandardOutput.ReadToEndAsync();
            _error = process.StandardError.ReadToEndAsync();
        }

        public Process Process { get; }

        /// <summary>Waits for the end.</summary>
        /// <returns>Status, output and error output; a null status when it had to be killed.</returns>
        public (int? Status, string Output, string Error) Wait(TimeSpan limit)
        {
            bool ended = Process.WaitForExit(limit);
            if (!ended) Process.Kill(entireProcessTree: true);
            return (ended ? Process.ExitCode : null, _output.GetAwaiter().GetResult(), _error.GetAwaiter().GetResult());
        }

        /// <summary>Sends a signal by its name, as a shell does.</summary>
        public void Send(string signal)
        {
            if (Process.HasExited) return;
            using Process kill = Process.Start("kill", ["-" + signal, Process.Id.ToString(CultureInfo.InvariantCulture)]);
            kill.WaitForExit();
        }

        public void Dispose() => Process.Dispose();
    }

    /// <summary>Starts a call; programs in <paramref name="stubs"/> are found before the real ones.</summary>
    public static Call Start(string folder, string[] arguments, string? stubs = null, string? prefix = null)
    {
        // A shell in front, where a limit of the shell is wanted.
        // Shells let what they start in the background ignore Ctrl-C, and that is inherited: here it must count.
        ProcessStartInfo start = prefix is null ? new("env", ["--default-signal=INT", "dotnet", Program, .. arguments]) : new("bash", ["-c", prefix + " exec dotnet \"$@\"", "bash", Program, .. arguments]);
        start.RedirectStandardOutput = start.RedirectStandardError = true;
        start.WorkingDirectory = folder;
        start.Environment["FLICKERPROBE_HOME"] = Path.Combine(folder, "home");
        if (stubs is not null) start.Environment["PATH"] = stubs + ":" + Environment.GetEnvironmentVariable("PATH");
        return new Call(Process.Start(start)!);
    }

    /// <summary>Children of the program, or of anyone, that still work on a file in this folder.</summary>
    public static IReadOnlyList<string> StillAtWork(string folder)
    {
        List<string> found = [];
        // The system needs a moment to clear an ended process away.
        SpinWait.SpinUntil(() =>
        {
            found = AtWork(folder);
            if (found.Count > 0) Thread.Sleep(50);
            return found.Count == 0;
        }, TimeSpan.FromSeconds(8));
        return found;
    }

    /// <summary>Who works there this moment.</summary>
    public static List<string> AtWork(string folder) =>
        [.. Directory.EnumerateDirectories("/proc").Where(d => int.TryParse(Path.GetFileName(d), out int id) && id != Environment.ProcessId).Select(CommandLine).Where(c => c.Contains(folder, StringComparison.Ordinal))];

    private static string CommandLine(string process)
    {
        try
        {
            return File.ReadAllText(Path.Combine(process, "cmdline")).Replace('\0', ' ');
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            return "";
        }
    }
}
