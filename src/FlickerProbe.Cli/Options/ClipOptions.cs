using System.CommandLine;
using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Cli.Options;

/// <summary>What a clip is, how it was shot and how it is to be read; the commands that measure one clip share this.</summary>
internal sealed class ClipOptions
{
    private readonly Argument<string> _clip = new("CLIP") { Description = "The clip or still picture (anything ffmpeg reads)." };

    private readonly Option<GivenShutter?> _shutter = new("--shutter")
    {
        HelpName = "TIME",
        CustomParser = Read.One(GivenShutter.Parse),
        Description = "Exposure time it was shot with: 1/250, 4ms, 0.004s or 180deg. Left out: unknown.",
    };

    private readonly Option<ReadoutTime?> _readout = new("--readout")
    {
        HelpName = "TIME",
        CustomParser = Read.One(ReadoutTime.Parse),
        Description = "Readout time of the full coded height, first row to last: 16ms, -16ms (bottom to top), 16ms±0.1ms or global. Left out: unknown.",
    };

    private readonly Option<string?> _camera = new("--camera")
    {
        HelpName = "NAME",
        Description = "Take the readout from a camera that 'calibrate --save' stored.",
    };

    private readonly Option<FrameRate?> _frameRate = new("--frame-rate")
    {
        HelpName = "RATE",
        CustomParser = Read.One(FrameRate.Parse),
        Description = "Frame rate it was shot at, over the clip's own (conformed slow motion): 30000/1001, 29.97, 120.",
    };

    private readonly Option<IReadOnlyList<Region>?> _regions = new("--region")
    {
        HelpName = "[NAME=]X,Y,W,H",
        CustomParser = Read.Many(Region.Parse),
        Arity = ArgumentArity.OneOrMore,
        Description = "Where the light falls, in pixels of the picture as displayed. Repeatable. Left out: found automatically.",
    };

    private readonly Option<string?> _reference = new("--reference")
    {
        HelpName = "CLIP",
        Description = "The same view with the fixture off: its light is subtracted.",
    };

    private readonly Option<TransferFunction?> _transfer = TransferOption();

    private readonly Option<TransferFunction?> _cube = new("--cube")
    {
        HelpName = "FILE",
        CustomParser = Read.One(CurveFile.Read),
        Description = "Transfer curve as a one-dimensional .cube table, signal to linear light (log recordings).",
    };

    private readonly Option<SignalRange?> _range = RangeOption();

    private readonly Option<ColourMode> _colour = ColourOption();

    /// <summary>Adds the argument and the options to a command; one that finds the readout doesn't ask for it, nor for colours, which say nothing of it.</summary>
    public void AddTo(Command command, bool findsReadout = false)
    {
        command.Add(_clip);
        Option[] readout = findsReadout ? [] : [_readout, _camera], colour = findsReadout ? [] : [_colour];
        foreach (Option option in (Option[])[_shutter, .. readout, _frameRate, _regions, _reference, _transfer, _cube, _range, .. colour])
            command.Add(option);
        command.Validators.Add(result =>
        {
            if (result.GetResult(_readout) is not null && result.GetResult(_camera) is not null)
                result.AddError("--readout and --camera both say what the readout is: give one of them.");
            if (result.GetResult(_transfer) is not null && result.GetResult(_cube) is not null)
                result.AddError("--transfer and --cube both say what the transfer curve is: give one of them.");
        });
    }

    private static bool Has(ParseResult call, Option option) => call.CommandResult.Command.Options.Contains(option);

    /// <summary>What was asked for.</summary>
    public TakeRequest Of(ParseResult call) => new()
    {
        Clip = call.GetRequiredValue(_clip),
        Shutter = call.GetValue(_shutter),
        Readout = Has(call, _readout) ? call.GetValue(_readout) : null,
        Camera = Has(call, _camera) ? call.GetValue(_camera) : null,
        FrameRate = call.GetValue(_frameRate),
        Regions = call.GetValue(_regions) ?? [],
        Reference = call.GetValue(_reference),
        Transfer = call.GetValue(_transfer) ?? call.GetValue(_cube),
        Range = call.GetValue(_range),
        Colour = Has(call, _colour) ? call.GetValue(_colour) : ColourMode.Off,
    };

    /// <summary>The option that says whether colours are measured.</summary>
    internal static Option<ColourMode> ColourOption() => new("--colour")
    {
        HelpName = "auto|on|off",
        CustomParser = Read.One(text => Read.Word(text, "colour mode", ("auto", ColourMode.Auto), ("on", ColourMode.On), ("off", ColourMode.Off))),
        Description = "Measure red, green and blue one by one: off is faster and sees brightness alone. Left out: auto, wherever the clip holds colours.",
    };

    /// <summary>The option that says the transfer curve.</summary>
    internal static Option<TransferFunction?> TransferOption() => new("--transfer")
    {
        HelpName = "NAME",
        CustomParser = Read.One(TransferFunction.Parse),
        Description = "Transfer curve, over the clip's own tag: bt709, srgb, gamma2.2, gamma2.4, gamma2.8, hlg, pq or linear.",
    };

    /// <summary>The option that says the signal range.</summary>
    internal static Option<SignalRange?> RangeOption() => new("--range")
    {
        HelpName = "limited|full",
        CustomParser = Read.One<SignalRange?>(text => Read.Word(text, "range", ("limited", SignalRange.Limited), ("full", SignalRange.Full))),
        Description = "Signal range, over the clip's own tag.",
    };
}
