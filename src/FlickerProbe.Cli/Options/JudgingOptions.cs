using System.CommandLine;
using FlickerProbe.Camera;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Policies;
using FlickerProbe.Units;

namespace FlickerProbe.Cli.Options;

/// <summary>What the verdict is for and what it is held against.</summary>
internal sealed class JudgingOptions
{
    private readonly Option<IReadOnlyList<CameraFormat>?> _formats = new("--format")
    {
        HelpName = "RATE@SHUTTER[@READOUT]",
        CustomParser = Read.Many(CameraFormat.Parse),
        Arity = ArgumentArity.OneOrMore,
        Description = "A format you shoot, for which to judge: 25@1/50, 59.94@180deg, 25@1/50@16ms. Repeatable. Left out: the clip's own rate and shutter.",
    };

    private readonly Option<string?> _fixture = new("--fixture")
    {
        HelpName = "NAME",
        Description = "What to call the light in results. Left out: the region's name, or the clip's.",
    };

    private readonly Option<double?> _dimmer = new("--dimmer")
    {
        HelpName = "LEVEL",
        CustomParser = Read.One<double?>(text => Parsing.Share(text)
            ?? throw new InputException($"'{text}' is not a dimmer level: write a share from 0% to 100%, such as 50% or 0.5.")),
        Description = "Dimmer level it was shot at: 50% or 0.5. Left out: unknown.",
    };

    private readonly Option<LoadedPolicy?> _policy = new("--policy")
    {
        HelpName = "FILE",
        CustomParser = Read.One(PolicyFile.Read),
        Description = "Your own pass and fail lines (YAML). Left out: the built-in ones.",
    };

    /// <summary>Adds only the lines to a command.</summary>
    public void AddPolicyTo(Command command) => command.Add(_policy);

    /// <summary>Adds the options to a command; those about a take only where one is measured.</summary>
    public void AddTo(Command command, bool ofTake)
    {
        command.Add(_formats);
        command.Add(_policy);
        if (!ofTake) return;
        command.Add(_fixture);
        command.Add(_dimmer);
    }

    /// <summary>The house formats; empty when none was named.</summary>
    public IReadOnlyList<CameraFormat> Formats(ParseResult call) => call.GetValue(_formats) ?? [];

    /// <summary>The venue's own lines; null for the built-in ones.</summary>
    public LoadedPolicy? Policy(ParseResult call) => call.GetValue(_policy);

    /// <summary>What was asked of a take.</summary>
    public MeasureRequest Of(ParseResult call, TakeRequest take) => new(take, Formats(call), call.GetValue(_fixture), call.GetValue(_dimmer), Policy(call));
}
