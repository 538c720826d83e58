using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Tests.Auditions;

/// <summary>An audition in a folder of its own that is gone afterwards.</summary>
internal sealed class AuditionFolder : IDisposable
{
    internal const string Head = """
        schema: flickerprobe/audition/1
        title: Test
        formats:
          - { camera: hall, frame-rate: 25, shutter: 1/120 }
          - { camera: hall, frame-rate: 29.97, shutter: 1/60 }
        cameras:
          hall: { readout: 16ms }

        """;

    public string Path { get; } = Directory.CreateTempSubdirectory("audition-").FullName;

    public string File(string name) => System.IO.Path.Combine(Path, name);

    /// <summary>Writes a clip that changed long ago.</summary>
    public void Clip(string name, string light)
    {
        System.IO.File.WriteAllText(File(name), light);
        System.IO.File.SetLastWriteTimeUtc(File(name), new DateTime(2030, 1, 31, 12, 0, 0, DateTimeKind.Utc).AddYears(-10));
    }

    public Audition Audition(string fixtures, string head = Head)
    {
        System.IO.File.WriteAllText(File("audition.yaml"), head + fixtures);
        return AuditionReader.ReadFile(File("audition.yaml"));
    }

    public TakeCache Cache() => new(Path, TimeProvider.System);

    public static AuditionOutcome Run(Audition audition, ITakeMeasurer measurer, TakeCache? cache = null, AuditionOptions? options = null,
        IProgress<StageProgress>? progress = null, CancellationToken cancellation = default) =>
        new AuditionEngine(measurer, cache, new FixedClock()).RunAsync(audition, null, options ?? new AuditionOptions(), progress, cancellation).GetAwaiter().GetResult();

    public static string Json(AuditionOutcome outcome) => ResultJson.Write(outcome.Result);

    public void Dispose() => Directory.Delete(Path, recursive: true);

    private sealed class FixedClock : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => new(2030, 1, 31, 20, 0, 0, TimeSpan.Zero);
    }
}
