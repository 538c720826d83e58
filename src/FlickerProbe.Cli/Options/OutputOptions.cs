using System.CommandLine;
using FlickerProbe.Files.Reports;

namespace FlickerProbe.Cli.Options;

/// <summary>Where results go and what the verdict does to the exit status; the commands that judge share this.</summary>
internal sealed class OutputOptions
{
    /// <summary>The <c>--json</c> that means standard output.</summary>
    private const string StandardOutput = "-";

    private readonly Option<string?> _json = new("--json")
    {
        HelpName = "FILE|-",
        Description = "Write the result as JSON to a file, or to standard output with '-' (and nothing else there).",
    };

    private readonly Option<string?> _report = new("--report")
    {
        HelpName = "FOLDER",
        Description = "Write the report there: report.html, result.json and the pictures.",
    };

    private readonly Option<Verdict.Ruling?> _failOn = new("--fail-on")
    {
        HelpName = "fail|watch",
        CustomParser = Read.One<Verdict.Ruling?>(text => Read.Word(text, "verdict to fail on", ("fail", Verdict.Ruling.Fail), ("watch", Verdict.Ruling.Watch))),
        Description = "End with exit status 1 when the verdict is this or worse.",
    };

    /// <summary>Adds the options to a command; a command that draws no report has no use for <c>--report</c>.</summary>
    public void AddTo(Command command, bool withReport)
    {
        if (withReport) command.Add(_report);
        command.Add(_json);
        command.Add(_failOn);
    }

    /// <summary>What was asked for, checked before the long work begins.</summary>
    /// <param name="call">The call.</param>
    /// <param name="inputs">Files that are read: none of them may be written over.</param>
    /// <exception cref="Units.InputException">A place can't be written to.</exception>
    public Outputs Of(ParseResult call, IEnumerable<string> inputs)
    {
        string? json = call.GetValue(_json);
        string? report = call.CommandResult.Command.Options.Contains(_report) ? call.GetValue(_report) : null;
        bool toStandardOutput = json == StandardOutput;
        if (json is not null && !toStandardOutput) WritablePlace.CheckFile(json, "--json", inputs);
        if (report is not null) WritablePlace.CheckFolder(report, "--report");
        return new Outputs(toStandardOutput ? null : json, toStandardOutput, report, call.GetValue(_failOn));
    }
}

/// <summary>Where results go.</summary>
/// <param name="JsonFile">File for the result; null: none.</param>
/// <param name="JsonToStandardOutput">Whether the result, and nothing else, goes to standard output.</param>
/// <param name="ReportFolder">Folder for the report; null: none.</param>
/// <param name="FailOn">Mildest verdict that ends with <see cref="ExitStatus.VerdictTooBad"/>; null: none does.</param>
internal sealed record Outputs(string? JsonFile, bool JsonToStandardOutput, string? ReportFolder, Verdict.Ruling? FailOn)
{
    /// <summary>Paper of the PDF.</summary>
    public Paper Paper { get; init; }
}
