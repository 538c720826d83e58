using System.Diagnostics;

namespace FlickerProbe.Robustness.Corpus;

/// <summary>Runs ffmpeg to make inputs.</summary>
internal static class Ffmpeg
{
    /// <summary>Whether it succeeded and left a file.</summary>
    public static bool Run(string target, params IEnumerable<string> arguments)
    {
        var start = new ProcessStartInfo("ffmpeg") { RedirectStandardError = true, RedirectStandardInput = true, UseShellExecute = false };
        foreach (string argument in (IEnumerable<string>)["-nostdin", "-hide_banner", "-v", "error", "-y", .. arguments, target]) start.ArgumentList.Add(argument);
        using Process process = Process.Start(start)!;
        process.StandardInput.Close();
        process.StandardError.ReadToEnd();
        process.WaitForExit();
        return process.ExitCode == 0 && new FileInfo(target) is { Exists: true, Length: > 0 };
    }

    /// <summary>Name and version of ffmpeg, without the machine's own additions.</summary>
    public static string Version()
    {
        var start = new ProcessStartInfo("ffmpeg", ["-version"]) { RedirectStandardOutput = true };
        using Process process = Process.Start(start)!;
        string[] words = process.StandardOutput.ReadToEnd().Split([' ', '-', '\n']);
        return $"{words[0]} {words[2]}";
    }

    /// <summary>As <see cref="Run"/>, but what can't be made is a fault of the corpus.</summary>
    public static void Must(string target, params IEnumerable<string> arguments)
    {
        if (!Run(target, arguments)) throw new InvalidOperationException($"ffmpeg can't make '{Path.GetFileName(target)}'.");
    }
}
