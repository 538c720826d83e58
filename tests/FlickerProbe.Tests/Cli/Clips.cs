using System.Diagnostics;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Tests.Cli;

/// <summary>Clips that the command-line tests share, made once: small, lossless, of known light.</summary>
public sealed class Clips : IDisposable
{
    private readonly Lazy<string> _pulsed, _mains, _steady, _sound;

    /// <summary>Makes the folder; clips are made when first asked for.</summary>
    public Clips()
    {
        _pulsed = new(() => Render("pulsed.mp4", Waveform.Sine(437, 0.3), 1.0 / 1000));
        _mains = new(() => Render("lamp.mp4", Waveform.Sine(120, 0.25), 1.0 / 1000));
        _steady = new(() => Render("steady.mp4", new SteadyLight(), 1.0 / 250));
        _sound = new(() => Ffmpeg("sound.m4a", "-f", "lavfi", "-i", "sine=duration=1", "-c:a", "aac"));
    }

    /// <summary>Where the clips are.</summary>
    public string Folder { get; } = Directory.CreateTempSubdirectory("flickerprobe-cli-").FullName;

    /// <summary>437 Hz, amplitude 30 %, shot at 1/1000 s, 25 frames/s, readout 16 ms.</summary>
    public string Pulsed => _pulsed.Value;

    /// <summary>120 Hz, amplitude 25 %, same camera.</summary>
    public string MainsLamp => _mains.Value;

    /// <summary>Steady light, shot at 1/250 s, same camera.</summary>
    public string Steady => _steady.Value;

    /// <summary>The first frame of <see cref="Pulsed"/> as a PNG.</summary>
    public string StillOfPulsed => File.Exists(At("pulsed.png")) ? At("pulsed.png") : Ffmpeg("pulsed.png", "-i", Pulsed, "-frames:v", "1");

    /// <summary>A file with sound alone.</summary>
    public string Sound => _sound.Value;

    /// <summary>A path inside the folder.</summary>
    public string At(string name) => Path.Combine(Folder, name);

    public void Dispose() => Directory.Delete(Folder, recursive: true);

    private string Render(string name, Waveform light, double exposureSeconds)
    {
        ClipRecipe recipe = ClipRecipe.Wall(light, FrameRate.Parse("25"), exposureSeconds, 0.016, seconds: 3) with
        {
            Encoding = new ClipEncoding { Codec = ClipCodec.H264, Lossless = true },
        };
        ClipRenderer.Render(recipe, At(name));
        return At(name);
    }

    private string Ffmpeg(string name, params string[] arguments)
    {
        var start = new ProcessStartInfo("ffmpeg") { RedirectStandardError = true };
        foreach (string argument in (string[])["-nostdin", "-v", "error", "-y", .. arguments, At(name)]) start.ArgumentList.Add(argument);
        using Process process = Process.Start(start)!;
        process.StandardError.ReadToEnd();
        process.WaitForExit();
        return At(name);
    }
}
