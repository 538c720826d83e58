using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Tests.Auditions;

/// <summary>Clips of lights of known truth, made once by the independent renderer, and auditions run on them.</summary>
public sealed class RenderedEvening : IDisposable
{
    /// <summary>Levels of the sweep and how long each is held, seconds; between them half a second of fade.</summary>
    internal static readonly double[] Levels = [1, 0.75, 0.5, 0.35, 0.25, 0.15];
    internal static readonly double[] Holds = [5, 4, 6, 4, 5, 5];
    internal const double Fade = 0.5;

    /// <summary>True frequency and amplitude of the rippling lamp.</summary>
    internal const double Hertz = 437.3, Amplitude = 0.2;

    public string Folder { get; } = Directory.CreateTempSubdirectory("evening-").FullName;

    public RenderedEvening()
    {
        Render("steps.mp4", Waveform.Sine(Hertz, Amplitude), "25", 1.0 / 1000, Steps(), Holds.Sum() + Fade * (Levels.Length - 1));
        Render("right.mp4", Waveform.Sine(Hertz, Amplitude), "25", 1.0 / 1000, new ClipFaults(), 6);
        Render("slow.mp4", Waveform.Sine(Hertz, Amplitude), "29.97", 1.0 / 320, new ClipFaults(), 6);
        Render("steady.mp4", new SteadyLight(), "25", 1.0 / 1000, new ClipFaults(), 6);
    }

    internal string File(string name) => Path.Combine(Folder, name);

    internal Audition Audition(string fixtures, string readout = "16ms", string name = "audition.yaml")
    {
        System.IO.File.WriteAllText(File(name), $$"""
            schema: flickerprobe/audition/1
            formats:
              - { camera: hall, frame-rate: 25, shutter: 1/50 }
              - { camera: hall, frame-rate: 25, shutter: 1/1000 }
            cameras: { hall: { readout: {{readout}} } }
            fixtures:
            {{fixtures}}
            """);
        return AuditionReader.ReadFile(File(name));
    }

    internal AuditionOutcome Run(Audition audition, TakeCache? cache = null, bool withPictures = false) =>
        new AuditionEngine(new PipelineTakeMeasurer(new TakeMeasurer(new CameraStore(Folder))), cache, TimeProvider.System)
            .RunAsync(audition, null, new AuditionOptions { WithPictures = withPictures }, null, default).GetAwaiter().GetResult();

    public void Dispose() => Directory.Delete(Folder, recursive: true);

    // The camera's gain is stepped; what it records is what a dimmer without flicker of its own would do to the lamp.
    private static ClipFaults Steps()
    {
        var steps = new List<GainStep>();
        double at = 0;
        for (int i = 1; i < Levels.Length; i++)
        {
            at += Holds[i - 1];
            steps.Add(new GainStep(at, Levels[i], Fade));
            at += Fade;
        }
        return new ClipFaults { GainSteps = steps };
    }

    private void Render(string name, Waveform light, string rate, double exposure, ClipFaults faults, double seconds) =>
        ClipRenderer.Render(ClipRecipe.Wall(light, FrameRate.Parse(rate), exposure, 0.016, seconds, 0.7) with
        {
            Faults = faults, Encoding = new ClipEncoding { Codec = ClipCodec.H264, Lossless = true },
        }, File(name));
}
