using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;

namespace FlickerProbe.Bench;

/// <summary>What the numbers were taken on.</summary>
internal static class Machine
{
    /// <summary>Processes waiting or running on average over the last minute; NaN where the system does not say.</summary>
    public static double Load() => File.Exists("/proc/loadavg")
        ? double.Parse(File.ReadAllText("/proc/loadavg").Split(' ')[0], CultureInfo.InvariantCulture) : double.NaN;

    /// <summary>Kind of processor, cores, memory, system; nothing that names this one machine.</summary>
    public static string Describe()
    {
        string kind = File.Exists("/proc/cpuinfo")
            ? File.ReadLines("/proc/cpuinfo").FirstOrDefault(line => line.StartsWith("model name", StringComparison.Ordinal))?.Split(':', 2)[1].Trim() ?? ""
            : "";
        double memory = GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / 1e9;
        return string.Create(CultureInfo.InvariantCulture,
            $"{Environment.ProcessorCount} cores ({(kind.Length > 0 ? kind : RuntimeInformation.ProcessArchitecture.ToString())}), {memory:0} GB of memory, {(OperatingSystem.IsLinux() ? "Linux" : RuntimeInformation.OSDescription)}");
    }

    /// <summary>Versions of what runs.</summary>
    public static string Versions()
    {
        using var ffmpeg = Process.Start(new ProcessStartInfo("ffmpeg", "-version") { RedirectStandardOutput = true })!;
        string[] words = (ffmpeg.StandardOutput.ReadLine() ?? "").Split(' ');
        ffmpeg.StandardOutput.ReadToEnd();
        ffmpeg.WaitForExit();
        // "5.1.9-0+deb12u1": what follows the dash names a packager.
        return $"flickerprobe {typeof(Files.Decoding.ClipProbe).Assembly.GetName().Version?.ToString(3)}, .NET {Environment.Version}, ffmpeg {(words.Length > 2 ? words[2].Split('-')[0] : "of unknown version")}";
    }
}
