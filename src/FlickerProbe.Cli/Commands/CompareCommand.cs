using System.CommandLine;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Cli.Commands;

/// <summary><c>flickerprobe compare RESULT…</c>: the fixtures of several results on one decision sheet.</summary>
internal sealed class CompareCommand : Command, IHasExamples
{
    private readonly Streams _streams;
    private readonly Argument<string[]> _results = new("RESULT")
    {
        Arity = ArgumentArity.OneOrMore,
        Description = "One or more result.json that flickerprobe wrote.",
    };

    private readonly OutputOptions _outputs = new();

    /// <summary>Makes the command.</summary>
    public CompareCommand(Streams streams) : base("compare", "Put the fixtures of one or several results side by side, in the order of verdict, usable dimming and price.")
    {
        _streams = streams;
        Add(_results);
        _outputs.AddTo(this, withReport: true);
        SetAction(Run);
    }

    /// <inheritdoc/>
    public IReadOnlyList<(string Call, string Meaning)> Examples { get; } =
    [
        ("flickerprobe compare spring/result.json autumn/result.json --report decision", "Candidates of two auditions on one decision sheet."),
    ];

    private int Run(ParseResult call)
    {
        string[] paths = call.GetRequiredValue(_results);
        Outputs outputs = _outputs.Of(call, paths);
        ResultDocument sheet = Comparison.Of([.. paths.Select(path => (path, ResultJson.ReadFile(path)))], TimeProvider.System);
        return ResultWriter.Write(sheet, outputs, _streams, CancellationToken.None);
    }
}
