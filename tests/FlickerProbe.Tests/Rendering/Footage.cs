using System.Diagnostics;
using System.Globalization;
using System.Text.Json;

namespace FlickerProbe.Tests.Rendering;

/// <summary>A folder for one test's clips, and plain looks into them by ffprobe and ffmpeg, apart from the project's own reader.</summary>
internal sealed class Footage : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("flickerprobe-").FullName;

    public string this[string name] => Path.Combine(_folder, name);

    public void Dispose() => Directory.Delete(_folder, true);

    /// <summary>The video stream as ffprobe describes it.</summary>
    public static JsonElement Stream(string path)
    {
        byte[] json = Run("ffprobe", "-v", "error", "-of", "json", "-show_streams", "-select_streams", "v:0", "file:" + path);
        return JsonDocument.Parse(json).RootElement.GetProperty("streams")[0].Clone();
    }

    /// <summary>Presentation times of the packets, s, in order.</summary>
    public static double[] Times(string path)
    {
        byte[] csv = Run("ffprobe", "-v", "error", "-of", "csv=p=0", "-show_entries", "packet=pts_time", "-select_streams", "v:0", "file:" + path);
        return [.. System.Text.Encoding.ASCII.GetString(csv).Split('\n', StringSplitOptions.RemoveEmptyEntries)
            .Select(l => double.Parse(l.Trim().TrimEnd(','), CultureInfo.InvariantCulture)).Order()];
    }

    /// <summary>One fact per decoded frame.</summary>
    public static string[] FrameEntries(string path, string entry)
    {
        byte[] csv = Run("ffprobe", "-v", "error", "-of", "csv=p=0", "-show_entries", "frame=" + entry, "-select_streams", "v:0", "file:" + path);
        return [.. System.Text.Encoding.ASCII.GetString(csv).Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(l => l.Trim().TrimEnd(','))];
    }

    /// <summary>All decoded samples in the format the file itself has: planes of every frame, unconverted and unrotated.</summary>
    public static byte[] Samples(string path, string pixelFormat) => Run("ffmpeg", "-hide_banner", "-nostdin", "-loglevel", "error", "-noautorotate",
        "-i", "file:" + path, "-map", "0:v:0", "-pix_fmt", pixelFormat, "-fps_mode", "passthrough", "-f", "rawvideo", "pipe:1");

    private static byte[] Run(string program, params string[] arguments)
    {
        ProcessStartInfo start = new(program) { RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (string a in arguments) start.ArgumentList.Add(a);
        using Process process = Process.Start(start)!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        using MemoryStream output = new();
        process.StandardOutput.BaseStream.CopyTo(output);
        process.WaitForExit();
        return process.ExitCode == 0 ? output.ToArray() : throw new InvalidOperationException($"{program}: {errors.Result}");
    }
}
