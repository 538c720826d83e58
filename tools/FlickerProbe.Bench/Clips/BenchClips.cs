using System.Diagnostics;
using System.Globalization;
using System.Text;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Bench.Clips;

/// <summary>A clip to race on.</summary>
/// <param name="Path">The file.</param>
/// <param name="Width">Pixels.</param>
/// <param name="Height">Pixels.</param>
internal sealed record BenchClip(string Path, int Width, int Height);

/// <summary>An evening of takes to race on.</summary>
/// <param name="File">The audition file.</param>
/// <param name="Report">Folder for the report.</param>
/// <param name="Clips">The takes.</param>
internal sealed record BenchEvening(string File, string Report, IReadOnlyList<string> Clips)
{
    /// <summary>Changes the price of the first fixture.</summary>
    public void SetPrice(int price)
    {
        string[] lines = System.IO.File.ReadAllLines(File);
        int at = Array.FindIndex(lines, line => line.TrimStart().StartsWith("price:", StringComparison.Ordinal));
        lines[at] = string.Create(CultureInfo.InvariantCulture, $"    price: {price} EUR");
        System.IO.File.WriteAllLines(File, lines);
    }
}

/// <summary>Renders and encodes the clips, once.</summary>
/// <remarks>
/// One second of each is rendered (a pulsed lamp on a wall, sensor noise) and its packets are repeated: the light goes through a whole number of
/// periods in that second, so that the seam shows nowhere, and decoding costs the same as that of a clip made in one piece.
/// </remarks>
internal sealed class BenchClips(string folder)
{
    private const double Noise = 1.2; // 8-bit codes at mid-scale, a usual camera at low gain

    public BenchClip H264() => Repeated("h264-1080.mp4", Wall(1920, 1080, 60, Noise, new ClipEncoding { BitsPerSecond = 40_000_000 }), 30);

    public BenchClip H264WithoutNoise() => Repeated("h264-1080-clean.mp4", Wall(1920, 1080, 60, 0, new ClipEncoding { Quality = 18 }), 30);

    public BenchClip H264Large() => Repeated("h264-2160.mp4", Wall(3840, 2160, 30, Noise, new ClipEncoding { BitsPerSecond = 60_000_000 }), 10);

    public BenchClip HevcLarge() => Repeated(
        "hevc-2160.mp4", Wall(3840, 2160, 30, Noise, new ClipEncoding { Codec = ClipCodec.Hevc, BitsPerSecond = 50_000_000, Preset = "ultrafast" }, 10), 10);

    public BenchClip ProRes() => Repeated(
        "prores-1080.mov", Wall(1920, 1080, 30, Noise, new ClipEncoding { Codec = ClipCodec.ProRes }, 10, ChromaSampling.C422), 10);

    public BenchClip Long(int minutes) => Repeated(
        string.Create(CultureInfo.InvariantCulture, $"h264-1080-{minutes}-minutes.mp4"), Wall(1920, 1080, 30, Noise, new ClipEncoding { BitsPerSecond = 12_000_000 }), 60 * minutes);

    /// <summary>So many takes of the half-minute clip, one for each level of a few fixtures.</summary>
    public BenchEvening Evening(int takes)
    {
        string place = Path.Combine(folder, "evening"), file = Path.Combine(place, "audition.yaml");
        string[] clips = [.. Enumerable.Range(1, takes).Select(n => Path.Combine(place, string.Create(CultureInfo.InvariantCulture, $"take-{n:00}.mp4")))];
        if (!File.Exists(file))
        {
            Directory.CreateDirectory(place);
            BenchClip clip = H264();
            foreach (string path in clips) File.Copy(clip.Path, path, overwrite: true);
            StringBuilder text = new("schema: flickerprobe/audition/1\ntitle: Twelve takes\nformats:\n  - { camera: hall, frame-rate: 29.97, shutter: 1/60 }\n  - { camera: hall, frame-rate: 59.94, shutter: 1/120 }\n"
                + "cameras:\n  hall: { readout: 12ms }\nfixtures:\n");
            for (int n = 0; n < takes; n++)
            {
                if (n % 4 == 0) text.Append(CultureInfo.InvariantCulture, $"  - name: Lamp {(char)('A' + n / 4)}\n    price: 100 EUR\n    takes:\n");
                text.Append(CultureInfo.InvariantCulture, $"      - {{ clip: take-{n + 1:00}.mp4, camera: hall, shutter: 1/1000, dimmer: {100 - 25 * (n % 4)}%, region: [0, 0, {clip.Width}, {clip.Height}] }}\n");
            }
            File.WriteAllText(file, text.ToString());
        }
        return new BenchEvening(file, Path.Combine(place, "report"), clips);
    }

    /// <summary>A wall under a lamp of 325 pulses a second of the clip: whole periods in so many frames.</summary>
    private static ClipRecipe Wall(int width, int height, int frames, double noise, ClipEncoding encoding, int bits = 8, ChromaSampling chroma = ChromaSampling.C420)
    {
        var rate = FrameRate.Parse(frames == 60 ? "60000/1001" : "30000/1001");
        var light = new PulseLight { FrequencyHz = 325 * rate.FramesPerSecond / frames, Duty = 0.6, Low = 0.5 };
        return ClipRecipe.Wall(light, rate, 1 / 1000.0, 0.012, 1) with
        {
            Width = width,
            Height = height,
            Frames = frames,
            Noise = new SensorNoise { CodesAtMid = noise },
            Layout = new PixelLayout { Bits = bits, Chroma = chroma },
            Encoding = encoding with { KeyFrameDistance = encoding.Codec == ClipCodec.ProRes ? null : frames, BFrames = encoding.Codec == ClipCodec.ProRes ? null : 0 },
        };
    }

    private BenchClip Repeated(string name, ClipRecipe recipe, int times)
    {
        string path = Path.Combine(folder, name);
        var clip = new BenchClip(path, recipe.Width, recipe.Height);
        if (File.Exists(path)) return clip;
        Directory.CreateDirectory(folder);
        string second = Path.Combine(folder, "second-" + name), part = Path.Combine(folder, "part-" + name);
        ClipRenderer.Render(recipe, second);
        string[] arguments = ["-nostdin", "-v", "error", "-y", "-stream_loop", (times - 1).ToString(CultureInfo.InvariantCulture), "-i", second, "-c", "copy", part];
        using (Process ffmpeg = Process.Start("ffmpeg", arguments))
        {
            ffmpeg.WaitForExit();
            if (ffmpeg.ExitCode != 0) throw new InvalidOperationException($"'{name}' could not be put together.");
        }
        File.Delete(second);
        File.Move(part, path);
        return clip;
    }
}
