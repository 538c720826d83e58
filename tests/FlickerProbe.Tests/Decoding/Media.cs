using System.Diagnostics;
using System.Globalization;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

/// <summary>A folder of tiny clips made for one test class, gone afterwards.</summary>
public sealed class Media : IDisposable
{
    public Media() => Folder = Directory.CreateTempSubdirectory("flickerprobe-tests-").FullName;

    public string Folder { get; }

    public string At(string name) => Path.Combine(Folder, name);

    /// <summary>Runs ffmpeg; fails the test with its complaint when it fails.</summary>
    public static void Ffmpeg(params string[] arguments) => Run("ffmpeg", ["-v", "error", "-y", .. arguments], null);

    /// <summary>Output of ffmpeg for the arguments.</summary>
    public static byte[] FfmpegOutput(params string[] arguments) => Run("ffmpeg", ["-v", "error", .. arguments], null);

    /// <summary>Encodes raw codes, as they are: what comes of them is the codec's doing.</summary>
    /// <param name="name">File name; its ending picks the container.</param>
    /// <param name="format">Pixel format of the codes and of the file.</param>
    /// <param name="width">Columns.</param>
    /// <param name="height">Rows.</param>
    /// <param name="codes">Frames one after the other, in ffmpeg's rawvideo order.</param>
    /// <param name="encoder">Arguments that name the codec and colour tags.</param>
    public string Encoded(string name, string format, int width, int height, byte[] codes, params string[] encoder)
    {
        string path = At(name);
        Run("ffmpeg",
            ["-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", format, "-s", string.Create(CultureInfo.InvariantCulture, $"{width}x{height}"), "-r", "30000/1001", "-i", "pipe:0", .. encoder, "-pix_fmt", format, "file:" + path],
            codes);
        return path;
    }

    /// <summary>A moving test picture in H.264.</summary>
    public string Clip(string name, string size = "64x48", double seconds = 0.4, params string[] more)
    {
        string path = At(name);
        Ffmpeg(["-f", "lavfi", "-i", string.Create(CultureInfo.InvariantCulture, $"testsrc2=s={size}:r=30000/1001:d={seconds}"), "-pix_fmt", "yuv420p", "-c:v", "libx264", "-preset", "ultrafast", .. more, "file:" + path]);
        return path;
    }

    public void Dispose()
    {
        try
        {
            Directory.Delete(Folder, recursive: true);
        }
        catch (IOException)
        {
            // The system clears its own temporary folder.
        }
    }

    private static byte[] Run(string program, IEnumerable<string> arguments, byte[]? input)
    {
        var start = new ProcessStartInfo(program) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (string argument in arguments) start.ArgumentList.Add(argument);
        using Process process = Process.Start(start)!;
        Task<string> complaint = process.StandardError.ReadToEndAsync();
        using var output = new MemoryStream();
        Task copied = process.StandardOutput.BaseStream.CopyToAsync(output);
        if (input is not null) process.StandardInput.BaseStream.Write(input);
        process.StandardInput.Close();
        process.WaitForExit();
        copied.Wait();
        Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', arguments)}: {complaint.Result}");
        return output.ToArray();
    }
}
