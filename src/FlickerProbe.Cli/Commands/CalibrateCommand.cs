using System.CommandLine;
using System.Globalization;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Cli.Commands;

/// <summary><c>flickerprobe calibrate CLIP --known 120Hz</c>: a camera's readout time from a lamp of known rate.</summary>
internal sealed class CalibrateCommand : Command, IHasExamples
{
    private readonly Streams _streams;
    private readonly ClipOptions _clip = new();

    private readonly Option<double?> _known = new("--known")
    {
        HelpName = "HZ",
        Required = true,
        CustomParser = Read.One<double?>(text => Parsing.Hertz(text)
            ?? throw new InputException($"'{text}' is not a lamp's rate: write hertz such as 120Hz (a plain lamp on 60 Hz mains) or 100Hz (on 50 Hz mains).")),
        Description = "Rate of the lamp in view: 120Hz for a plain lamp on 60 Hz mains, 100Hz on 50 Hz mains.",
    };

    private readonly Option<string?> _save = new("--save")
    {
        HelpName = "NAME",
        Description = "Store it as a camera for '--camera NAME', with the frame rate and picture size it holds for.",
    };

    /// <summary>Makes the command.</summary>
    public CalibrateCommand(Streams streams) : base("calibrate", "Find a camera's readout time from a clip of a lamp of known rate.")
    {
        _streams = streams;
        _clip.AddTo(this, findsReadout: true);
        Add(_known);
        Add(_save);
        SetAction(RunAsync);
    }

    /// <inheritdoc/>
    public IReadOnlyList<(string Call, string Meaning)> Examples { get; } =
    [
        ("flickerprobe calibrate lamp.mp4 --known 120Hz --shutter 1/1000", "Print the readout time, ready for --readout."),
        ("flickerprobe calibrate lamp.mp4 --known 100Hz --shutter 1/1000 --save hall", "Store it for later calls with --camera hall."),
    ];

    private async Task<int> RunAsync(ParseResult call, CancellationToken cancellation)
    {
        TakeRequest request = _clip.Of(call);
        double known = call.GetRequiredValue(_known)!.Value;
        var cameras = CameraStore.OfUser();
        // A damaged store should be known before the long work.
        if (call.GetValue(_save) is not null) cameras.Names();
        IReadOnlyList<MeasuredTake> takes = await WorkDisplay.RunAsync(
            _streams, progress => Task.Run(() => new TakeMeasurer(cameras).Measure(request, progress, cancellation), cancellation)).ConfigureAwait(false);

        MeasuredTake take = takes[0];
        string clip = Path.GetFileName(request.Clip);
        ReadoutCalibration found = ReadoutCalibration.Find(take.Measurement, known) ?? throw new ClipException(string.Create(CultureInfo.InvariantCulture,
            $"'{clip}' shows no light of {known:0.###} Hz, though it would show down to {take.Measurement.DetectionLimit * 100:0.##} % of the light: film a plain mains-fed lamp at 1/500 s or shorter, and check --known."));
        _streams.Output.WriteLine(Sentence(found));
        _streams.Output.WriteLine("--readout " + Setting(found));
        if (call.GetValue(_save) is { } name)
        {
            if (take.Measurement.Take.Rate.IsStandIn)
                throw new InputException($"'{clip}' is a still and does not say the frame rate of the camera's mode: give it with --frame-rate, or save the readout of a clip.");
            cameras.Save(name, new CameraMode(
                take.Measurement.Take.Rate.ToString(), take.Facts.Width, take.Facts.Height,
                found.ReadoutSeconds.Value, found.ReadoutSeconds.Low, found.ReadoutSeconds.High, clip));
            _streams.Error.WriteLine(SafeText.Line(string.Create(CultureInfo.InvariantCulture,
                $"Stored as camera '{name}' for {take.Facts.Width}x{take.Facts.Height} at {take.Measurement.Take.Rate.ToShortText()} frames per second in {cameras.FilePath}.")));
        }
        return ExitStatus.Done;
    }

    private static string Sentence(ReadoutCalibration found)
    {
        if (found.IsGlobal)
            return string.Create(CultureInfo.InvariantCulture, $"All rows are read at once (global shutter): a readout longer than {found.ReadoutSeconds.High * 1000:0.###} ms would show.");
        string direction = !found.DirectionKnown
            ? "; its direction can't be told because the lamp beats too slowly at this frame rate, so top to bottom was assumed: shoot at another frame rate to know"
            : found.ReadoutSeconds.Value < 0 ? ", bottom to top" : ", top to bottom";
        return string.Create(CultureInfo.InvariantCulture,
            $"Readout time {Math.Abs(found.ReadoutSeconds.Value) * 1000:0.###} ms ± {found.ReadoutSeconds.HalfWidth * 1000:0.###} ms (95 %){direction}.");
    }

    /// <summary>As <c>--readout</c> reads it.</summary>
    private static string Setting(ReadoutCalibration found) => found.IsGlobal
        ? "global"
        : string.Create(CultureInfo.InvariantCulture, $"{found.ReadoutSeconds.Value * 1000:0.####}ms+-{Math.Max(found.ReadoutSeconds.HalfWidth * 1000, 0.0001):0.####}ms");
}
