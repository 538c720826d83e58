using System.Globalization;
using FlickerProbe.Files.Results;
using FlickerProbe.Robustness.Corpus;

namespace FlickerProbe.Robustness.Running;

/// <summary>Things that go wrong around the program while it runs. Each fault runs real processes and says what was wrong, or nothing.</summary>
internal static class FaultTrials
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(90);

    /// <summary>All faults: their class, their name, and what they do in a folder of their own.</summary>
    public static IEnumerable<(string Class, string Name, Func<string, string?> Try)> All(int seed)
    {
        foreach (string signal in new[] { "KILL", "TERM", "SEGV" })
            yield return ("ffmpeg ended from outside", signal, folder => DecoderEnds(folder, $"exec -a ffmpeg ffmpeg.real \"$@\" & child=$!; sleep 0.05; kill -{signal} $child; wait $child"));
        yield return ("ffmpeg ended from outside", "after half of its output", folder => DecoderEnds(folder, "ffmpeg.real \"$@\" | head -c 400000; exit 1"));
        yield return ("ffmpeg misbehaves", "ends at once without a word", folder => DecoderEnds(folder, "exit 0"));
        yield return ("ffmpeg misbehaves", "ends at once with status 1", folder => DecoderEnds(folder, "exit 1"));
        yield return ("ffmpeg misbehaves", "writes rubbish and no log", folder => DecoderEnds(folder, "head -c 300000 /dev/urandom"));
        yield return ("ffmpeg misbehaves", "never stops writing", folder => DecoderEnds(folder, "exec timeout 20 cat /dev/zero"));
        yield return ("ffmpeg misbehaves", "complains without end", folder => DecoderEnds(folder, "timeout 5 yes '[error] bad' >&2; exit 1"));
        yield return ("ffmpeg misbehaves", "ffprobe answers with rubbish", folder => ProberEnds(folder, "head -c 3000 /dev/urandom"));
        yield return ("ffmpeg misbehaves", "ffprobe answers with half its JSON", folder => ProberEnds(folder, "ffprobe.real \"$@\" | head -c 700"));
        yield return ("ffmpeg misbehaves", "ffprobe answers with nothing", folder => ProberEnds(folder, "exit 0"));
        yield return ("ffmpeg misbehaves", "ffprobe answers with {}", folder => ProberEnds(folder, "echo '{}'"));
        yield return ("ffmpeg hangs", "until Ctrl-C", HangsUntilInterrupted);
        foreach (string variant in new[] { "read-only folder", "no folder but a file", "a full disk", "a limit of the shell on file sizes" })
            yield return ("no place to write", variant, folder => NoPlace(folder, variant));
        yield return ("no place to write", "standard output is full", StandardOutputFull);
        yield return ("no place to write", "standard output is closed by its reader", StandardOutputClosed);
        yield return ("the clip changes", "deleted during the run", folder => ClipChanges(folder, File.Delete));
        yield return ("the clip changes", "grows during the run", folder => ClipChanges(folder, clip => File.AppendAllText(clip, "more")));
        yield return ("the clip changes", "cut during the run", folder => ClipChanges(folder, Halve));
        var random = new Random(seed);
        for (int n = 0; n < 12; n++)
        {
            int wait = random.Next(20, 3500);
            string signal = n % 3 == 2 ? "TERM" : "INT";
            yield return ("interrupted", string.Create(CultureInfo.InvariantCulture, $"{signal} after {wait} ms, a clip"), folder => Interrupted(folder, signal, wait, ofAudition: false));
            yield return ("interrupted", string.Create(CultureInfo.InvariantCulture, $"{signal} after {wait * 2} ms, an audition"), folder => Interrupted(folder, signal, wait * 2, ofAudition: true));
        }
        for (int n = 0; n < 4; n++)
        {
            int wait = random.Next(300, 5000);
            yield return ("killed, then run again", string.Create(CultureInfo.InvariantCulture, $"after {wait} ms"), folder => KilledThenAgain(folder, wait));
        }
        yield return ("two runs at once", "of one audition", TwoAtOnce);
    }

    private static string Clip(string folder, int frames = 50)
    {
        string clip = Path.Combine(folder, "clip.mp4");
        Ffmpeg.Must(clip, "-f", "lavfi", "-i", SeedClips.Light("320x240", 0.3, frames), "-c:v", "libx264", "-preset", "ultrafast");
        return clip;
    }

    private static string Stubs(string folder, string program, string script)
    {
        if (OperatingSystem.IsWindows()) throw new PlatformNotSupportedException("The stand-ins for ffmpeg are shell scripts.");
        string stubs = Path.Combine(folder, "stubs");
        Directory.CreateDirectory(stubs);
        foreach (string real in new[] { "ffmpeg", "ffprobe" })
        {
            string found = Environment.GetEnvironmentVariable("PATH")!.Split(':').Select(p => Path.Combine(p, real)).First(File.Exists);
            File.CreateSymbolicLink(Path.Combine(stubs, real + ".real"), found);
        }
        string stub = Path.Combine(stubs, program);
        File.WriteAllText(stub, "#!/bin/bash\n" + script + "\n");
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(stub, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        return stubs;
    }

    private static string? DecoderEnds(string folder, string script) => WithStub(folder, "ffmpeg", script);

    private static string? ProberEnds(string folder, string script) => WithStub(folder, "ffprobe", script);

    private static string? WithStub(string folder, string program, string script)
    {
        string clip = Clip(folder);
        using OwnProcess.Call call = OwnProcess.Start(folder, DamagedClips.Call(folder, clip, "--region", "8,8,300,220"), Stubs(folder, program, script));
        (int? status, string _, string error) = call.Wait(Limit);
        // A decoder that ended early may leave enough for a result, which then says that the file is damaged.
        string json = Path.Combine(folder, Ending.OutName, "result.json");
        if (status == 0 && File.ReadAllText(json).Contains("\"verdict\": \"pass\"", StringComparison.Ordinal)) return "a pass";
        if (status == 0) return File.ReadAllText(json).Contains("damaged-file", StringComparison.Ordinal) ? Left(folder) : "a result that does not say the file is damaged";
        return status == 3 ? Sentence(error) ?? Left(folder) : $"status {status}: {error}";
    }

    private static string? HangsUntilInterrupted(string folder)
    {
        string clip = Clip(folder);
        using OwnProcess.Call call = OwnProcess.Start(folder, DamagedClips.Call(folder, clip), Stubs(folder, "ffmpeg", $"exec -a 'hanging {folder}' sleep 300"));
        Thread.Sleep(3000);
        call.Send("INT");
        (int? status, string _, string error) = call.Wait(TimeSpan.FromSeconds(15));
        return status == 130 ? Sentence(error) ?? Left(folder) : $"status {status}: {error}";
    }

    private static string? NoPlace(string folder, string variant)
    {
        string clip = Clip(folder), report = Path.Combine(folder, Ending.OutName), prefix = "";
        switch (variant)
        {
            case "read-only folder":
                // Root may write anywhere; a file system that is read-only by itself stops root too.
                report = "/proc/flickerprobe-report";
                break;
            case "no folder but a file":
                File.WriteAllText(report, "");
                break;
            case "a full disk":
                report = "/dev/full";
                break;
            default:
                prefix = "trap '' XFSZ; export DOTNET_EnableWriteXorExecute=0; ulimit -f 64;"; // 64 KiB a file: the tables fit, the page does not
                break;
        }
        using OwnProcess.Call call = OwnProcess.Start(folder, ["measure", clip, "--shutter", "1/1000", "--report", report], prefix: prefix.Length > 0 ? prefix : null);
        (int? status, string _, string error) = call.Wait(Limit);
        if (status != 2) return $"status {status}: {error}";
        return Sentence(error) ?? (prefix.Length > 0 && Directory.Exists(report) && File.Exists(Path.Combine(report, "report.html")) != File.Exists(Path.Combine(report, "result.json")) ? "half a report" : Left(folder));
    }

    private static string? StandardOutputFull(string folder) => Redirected(folder, "> /dev/full", [2, 3]);

    private static string? StandardOutputClosed(string folder) => Redirected(folder, "| head -c 1 > /dev/null; exit ${PIPESTATUS[0]}", [0, 2, 3, 141]);

    private static string? Redirected(string folder, string where, int[] fine)
    {
        string clip = Clip(folder);
        using OwnProcess.Call call = OwnProcess.Start(folder, ["measure", clip, "--shutter", "1/1000", "--json", "-"], prefix: $"dotnet \"$@\" {where}; exit $?;");
        (int? status, string _, string error) = call.Wait(Limit);
        return status is not { } s || !fine.Contains(s) ? $"status {status}: {error}" : s == 0 ? Left(folder) : Sentence(error) ?? Left(folder);
    }

    // The program may hold the clip open for reading just then.
    private static void Halve(string clip)
    {
        using FileStream file = new(clip, FileMode.Open, FileAccess.Write, FileShare.ReadWrite);
        file.SetLength(file.Length / 2);
    }

    private static string? ClipChanges(string folder, Action<string> change)
    {
        string clip = Clip(folder, 400);
        using OwnProcess.Call call = OwnProcess.Start(folder, DamagedClips.Call(folder, clip, "--region", "8,8,300,220"), Stubs(folder, "ffmpeg", $"sleep 2; exec ffmpeg.real \"$@\""));
        // The stand-in waits two seconds before it decodes: the change falls between the examination and the reading.
        SpinWait.SpinUntil(() => OwnProcess.AtWork(Path.Combine(folder, "stubs", "ffmpeg")).Count > 0 || call.Process.HasExited, TimeSpan.FromSeconds(30));
        change(clip);
        (int? status, string _, string error) = call.Wait(Limit);
        if (status == 0) return "a result of a clip that changed";
        return status == 3 ? Sentence(error) ?? Left(folder) : $"status {status}: {error}";
    }

    private static string Audition(string folder)
    {
        for (int n = 0; n < 4; n++)
        {
            string clip = Path.Combine(folder, FormattableString.Invariant($"a{n}.mp4"));
            Ffmpeg.Must(clip, "-f", "lavfi", "-i", SeedClips.Light("320x240", 0.1 * n, 60), "-c:v", "libx264", "-preset", "ultrafast");
            // Settled: files changed within two seconds are not kept by their time.
            File.SetLastWriteTimeUtc(clip, DateTime.UtcNow.AddHours(-1));
        }
        string path = Path.Combine(folder, "audition.yaml");
        File.WriteAllText(path, "schema: flickerprobe/audition/1\nformats: [25@1/50, 25@1/100]\ncameras: { hall: { readout: 16ms } }\nfixtures:\n" + string.Concat(Enumerable.Range(0, 4).Select(n => FormattableString.Invariant($"  - name: Wash {n}\n    takes: [{{ clip: a{n}.mp4, camera: hall, shutter: 1/1000, dimmer: 100%, region: [8, 8, 300, 220] }}]\n"))));
        return path;
    }

    private static string? Interrupted(string folder, string signal, int wait, bool ofAudition)
    {
        string report = Path.Combine(folder, Ending.OutName);
        string[] call = ofAudition ? ["audition", Audition(folder), "--out", report] : ["measure", Clip(folder, 100), "--shutter", "1/1000", "--report", report];
        using OwnProcess.Call running = OwnProcess.Start(folder, call);
        Thread.Sleep(wait);
        running.Send(signal);
        (int? status, string _, string error) = running.Wait(TimeSpan.FromSeconds(30));
        bool whole = File.Exists(Path.Combine(report, "report.html")) && File.Exists(Path.Combine(report, "report.pdf")) && File.Exists(Path.Combine(report, "result.json"));
        bool none = !Directory.Exists(report) || !Directory.EnumerateFileSystemEntries(report).Any();
        if (!whole && !none) return "half a report: " + string.Join(", ", Directory.EnumerateFiles(report).Select(Path.GetFileName));
        if (status is 0) return whole ? Left(folder) : "status 0 without a report";
        // Before the runtime listens for signals, the system itself ends the process: 128 + the number of the signal.
        return status is 130 or 143 && (error.Length == 0 || Sentence(error) is null) ? Left(folder) : $"status {status}: {error}";
    }

    private static string? KilledThenAgain(string folder, int wait)
    {
        string path = Audition(folder), report = Path.Combine(folder, Ending.OutName);
        using (OwnProcess.Call first = OwnProcess.Start(folder, ["audition", path, "--out", report]))
        {
            Thread.Sleep(wait);
            first.Process.Kill(entireProcessTree: false);
            first.Wait(Limit);
        }
        // Whoever kills outright can't be cleaned up after; but what was started must end by itself soon, its pipe being closed.
        if (OwnProcess.StillAtWork(folder + "/a").Count > 0) return "ffmpeg went on after its parent was killed";
        return SameAsAnew(folder, path, report);
    }

    private static string? TwoAtOnce(string folder)
    {
        string path = Audition(folder);
        using OwnProcess.Call one = OwnProcess.Start(folder, ["audition", path, "--out", Path.Combine(folder, Ending.OutName)]), other = OwnProcess.Start(folder, ["audition", path, "--out", Path.Combine(folder, Ending.OutName)]);
        (int? first, string _, string error) = one.Wait(Limit);
        (int? second, string _, string alsoError) = other.Wait(Limit);
        if (first != 0 || second != 0) return $"statuses {first} and {second}: {error} {alsoError}";
        return SameAsAnew(folder, path, Path.Combine(folder, Ending.OutName));
    }

    /// <summary>Runs with what is kept, then anew, and compares the results member by member but for the time they were made.</summary>
    private static string? SameAsAnew(string folder, string path, string report)
    {
        string[] results = new string[2];
        foreach ((int n, string[] more) in new (int, string[])[] { (0, []), (1, ["--anew"]) })
        {
            using OwnProcess.Call call = OwnProcess.Start(folder, ["audition", path, "--out", report, .. more]);
            (int? status, string _, string error) = call.Wait(Limit);
            if (status != 0) return $"status {status} when run again: {error}";
            results[n] = ResultJson.Write(ResultJson.ReadFile(Path.Combine(report, "result.json")) with { Created = DateTimeOffset.UnixEpoch });
        }
        return results[0] == results[1] ? Left(folder) : "what was kept gives another result than measuring anew";
    }

    private static string? Sentence(string error)
    {
        string last = error.TrimEnd().Split('\n')[^1];
        if (error.Contains("   at ", StringComparison.Ordinal) || error.Contains("Unhandled", StringComparison.Ordinal) || error.Contains("itself failed", StringComparison.Ordinal)) return "shows a trace or an internal fault: " + error;
        return last.EndsWith('.') ? null : $"no sentence: '{last}'";
    }

    private static string? Left(string folder)
    {
        if (OwnProcess.StillAtWork(folder) is { Count: > 0 } working) return "left running: " + working[0];
        string[] parts = [.. Directory.EnumerateFiles(folder, "*.part", SearchOption.AllDirectories).Where(p => !p.Contains(".flickerprobe-cache", StringComparison.Ordinal))];
        return parts.Length > 0 ? $"left '{Path.GetFileName(parts[0])}' behind" : null;
    }

    /// <summary>A fault as the report counts it.</summary>
    public static Trial AsTrial(string group, string name) => new(group, name, Bound.AnyEnding, _ => []);

    /// <summary>Runs one fault in a folder of its own.</summary>
    public static TrialResult Run((string Class, string Name, Func<string, string?> Try) fault)
    {
        var watch = System.Diagnostics.Stopwatch.StartNew();
        string folder = Directory.CreateTempSubdirectory("robustness-").FullName;
        try
        {
            string? wrong = fault.Try(folder);
            return new TrialResult(AsTrial(fault.Class, fault.Name), null, null, watch.Elapsed.TotalSeconds, wrong is null ? [] : [wrong], "");
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
