using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;

namespace FlickerProbe.Bench.Racing;

/// <summary>What one run of a program took.</summary>
/// <param name="WallSeconds">From start to end.</param>
/// <param name="ProcessorSeconds">Of the program and all that it started; NaN where the system does not say.</param>
/// <param name="PeakBytes">Largest resident memory of the program itself, without what it started; 0 where the system does not say.</param>
/// <param name="AfterLastFrameSeconds">From the line that says the clip is read to the end; NaN without such a line.</param>
internal sealed record Run(double WallSeconds, double ProcessorSeconds, long PeakBytes, double AfterLastFrameSeconds);

/// <summary>Runs programs and watches what they take.</summary>
internal static partial class Racer
{
    private const int OfChildren = -1; // RUSAGE_CHILDREN

    /// <summary>Runs a program to its end.</summary>
    /// <param name="program">The program.</param>
    /// <param name="arguments">Its arguments.</param>
    /// <param name="expected">Exit status that is no failure.</param>
    /// <exception cref="InvalidOperationException">It ended otherwise; the message holds its words.</exception>
    public static Run Time(string program, IReadOnlyList<string> arguments, int expected = 0)
    {
        var start = new ProcessStartInfo(program) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (string argument in arguments) start.ArgumentList.Add(argument);
        double before = ChildrenSeconds();
        var watch = Stopwatch.StartNew();
        using Process process = Process.Start(start)!;
        process.StandardInput.Close();
        Task<string> output = process.StandardOutput.ReadToEndAsync();
        double read = double.NaN;
        List<string> said = [];
        Task errors = Task.Run(() =>
        {
            while (process.StandardError.ReadLine() is { } line)
            {
                if (line.EndsWith(": measuring", StringComparison.Ordinal)) read = watch.Elapsed.TotalSeconds;
                said.Add(line);
            }
        });
        long peak = 0;
        while (!process.WaitForExit(40)) peak = Math.Max(peak, PeakOf(process.Id));
        double wall = watch.Elapsed.TotalSeconds;
        errors.Wait();
        output.Wait();
        if (process.ExitCode != expected) throw new InvalidOperationException($"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}: {string.Join('\n', said.TakeLast(5))}");
        return new Run(wall, ChildrenSeconds() - before, peak, wall - read);
    }

    /// <summary>Runs one program on many inputs, so many at a time.</summary>
    public static Run TimeMany(string program, IReadOnlyList<IReadOnlyList<string>> calls, int atOnce)
    {
        double before = ChildrenSeconds();
        var watch = Stopwatch.StartNew();
        Parallel.ForEach(calls, new ParallelOptions { MaxDegreeOfParallelism = atOnce }, arguments => Time(program, arguments));
        return new Run(watch.Elapsed.TotalSeconds, ChildrenSeconds() - before, 0, double.NaN);
    }

    private static long PeakOf(int process)
    {
        try
        {
            string? line = File.ReadLines($"/proc/{process.ToString(CultureInfo.InvariantCulture)}/status").FirstOrDefault(l => l.StartsWith("VmHWM:", StringComparison.Ordinal));
            return line is null ? 0 : 1024 * long.Parse(line.Split(' ', StringSplitOptions.RemoveEmptyEntries)[1], CultureInfo.InvariantCulture);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return 0; // it has just ended, or the system keeps no such file
        }
    }

    // All children that have ended, with what they waited for.
    private static double ChildrenSeconds()
    {
        if (!OperatingSystem.IsLinux() && !OperatingSystem.IsMacOS()) return double.NaN;
        Span<long> usage = stackalloc long[18];
        if (GetUsage(OfChildren, ref usage[0]) != 0) return double.NaN;
        return usage[0] + usage[2] + (usage[1] + usage[3]) / 1e6;
    }

    [LibraryImport("libc", EntryPoint = "getrusage")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int GetUsage(int who, ref long usage);
}
