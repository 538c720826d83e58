using System.CommandLine;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Cli.Commands;

/// <summary><c>flickerprobe measure CLIP</c>: one clip in, a verdict and a report out.</summary>
internal sealed class MeasureCommand : Command, IHasExamples
{
    private readonly Streams _streams;
    private readonly ClipOptions _clip = new();
    private readonly JudgingOptions _judging = new();
    private readonly OutputOptions _outputs = new();

    /// <summary>Makes the command.</summary>
    public MeasureCommand(Streams streams) : base("measure", "Measure one clip or still picture and judge its light for the formats you shoot.")
    {
        _streams = streams;
        _clip.AddTo(this);
        _judging.AddTo(this, ofTake: true);
        _outputs.AddTo(this, withReport: true);
        SetAction(RunAsync);
    }

    /// <inheritdoc/>
    public IReadOnlyList<(string Call, string Meaning)> Examples { get; } =
    [
        ("flickerprobe measure wash.mp4 --shutter 1/250 --readout 16ms", "Judge for the clip's own rate and shutter."),
        ("flickerprobe measure wash.mp4 --shutter 1/250 --camera hall --format 25@1/50 --format 50@1/100 --report wash", "Judge for two house formats and write the report into the folder 'wash'."),
        ("flickerprobe measure two.mov --region left=80,40,200,300 --region right=500,40,200,300 --json -", "Two fixtures in one picture; the result as JSON on standard output."),
        ("flickerprobe measure still.png --shutter 1/2000 --readout 16ms --fail-on watch", "A still picture; exit status 1 unless it passes."),
    ];

    private async Task<int> RunAsync(ParseResult call, CancellationToken cancellation)
    {
        TakeRequest take = _clip.Of(call) with { EveryArea = true };
        Outputs outputs = _outputs.Of(call, take.Reference is null ? [take.Clip] : [take.Clip, take.Reference]);
        MeasureRequest request = _judging.Of(call, take with { WithPictures = outputs.ReportFolder is not null });
        var pipeline = new MeasurePipeline(new TakeMeasurer(CameraStore.OfUser()), TimeProvider.System);
        ResultDocument result = await WorkDisplay.RunAsync(
            _streams, progress => Task.Run(() => pipeline.Run(request, progress, cancellation), cancellation)).ConfigureAwait(false);
        return ResultWriter.Write(result, outputs, _streams, cancellation);
    }
}
