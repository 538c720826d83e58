using System.CommandLine;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Cli.Commands;

/// <summary><c>flickerprobe forecast RESULT.json</c>: what a light that was measured before does at other settings. No clip is needed.</summary>
internal sealed class ForecastCommand : Command, IHasExamples
{
    private readonly Streams _streams;
    private readonly Argument<string> _result = new("RESULT") { Description = "A result.json that flickerprobe wrote." };
    private readonly JudgingOptions _judging = new();
    private readonly OutputOptions _outputs = new();

    /// <summary>Makes the command.</summary>
    public ForecastCommand(Streams streams) : base("forecast", "Judge a light that was measured before for other formats or by other lines; no clip is needed.")
    {
        _streams = streams;
        Add(_result);
        _judging.AddTo(this, ofTake: false);
        _outputs.AddTo(this, withReport: true);
        SetAction(Run);
    }

    /// <inheritdoc/>
    public IReadOnlyList<(string Call, string Meaning)> Examples { get; } =
    [
        ("flickerprobe forecast wash/result.json --format 50@1/100 --format 59.94@180deg", "Judge the measured lights for two other formats."),
        ("flickerprobe forecast wash/result.json --format 25@1/50 --json -", "The same as JSON, in the form of any result."),
    ];

    private int Run(ParseResult call)
    {
        string path = call.GetRequiredValue(_result);
        Outputs outputs = _outputs.Of(call, [path]);
        ResultDocument result = ForecastPipeline.Run(ResultJson.ReadFile(path), _judging.Formats(call), _judging.Policy(call), TimeProvider.System);
        return ResultWriter.Write(result, outputs, _streams, CancellationToken.None);
    }
}
