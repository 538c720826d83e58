using System.CommandLine;
using FlickerProbe.Camera;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Reports;
using FlickerProbe.Planning;
using FlickerProbe.Units;

namespace FlickerProbe.Cli.Commands;

/// <summary><c>flickerprobe plan</c>: what to shoot for an audition, as a starter file and a shot list.</summary>
internal sealed class PlanCommand : Command, IHasExamples
{
    private readonly Streams _streams;

    private readonly Option<string?> _title = new("--title") { HelpName = "TEXT", Description = "What the audition is called." };
    private readonly Option<string?> _mains = new("--mains") { HelpName = "HZ", Description = "Mains frequency: 50Hz, 60Hz or unknown. Left out: unknown." };

    private readonly Option<IReadOnlyList<PlanCamera>?> _cameras = new("--camera")
    {
        HelpName = "NAME=RATES@SHUTTERS@READOUT",
        CustomParser = Read.Many(PlanAnswers.Camera),
        Description = "A camera that will be there and what it offers, such as hall=25,29.97@1/50,1/100,1/250@16ms; repeatable, the best one for testing first. Shutters and readout may be left out.",
    };

    private readonly Option<string[]> _formats = new("--format")
    {
        HelpName = "RATE@SHUTTER",
        Description = "A house format, such as 25@1/50, or hall=25@1/50 for one of several cameras; repeatable.",
    };

    private readonly Option<string[]> _fixtures = new("--fixture") { HelpName = "NAME", Description = "A candidate; repeatable." };
    private readonly Option<string?> _levels = new("--levels") { HelpName = "LIST", Description = "Dimmer levels in use, such as 100%,50%,10%. Left out: 100%." };
    private readonly Option<bool> _otherLight = new("--other-light") { Description = "Other light can't be put out: plan takes with the fixture off." };
    private readonly Option<string?> _out = new("--out") { HelpName = "FILE", Description = "The audition file to write; shot list and schema go beside it. Left out: audition.yaml." };
    private readonly Option<bool> _overwrite = new("--overwrite") { Description = "Replace an audition file that is there." };

    private readonly Option<Paper> _paper = new("--paper")
    {
        HelpName = "a4|letter",
        CustomParser = Read.One(text => Read.Word(text, "paper", ("a4", Paper.A4), ("letter", Paper.Letter))),
        Description = "Paper of the shot list. Left out: a4.",
    };

    /// <summary>Makes the command.</summary>
    public PlanCommand(Streams streams) : base("plan", "Plan the takes of an audition: writes a starter audition file and a shot list to print. Asks for what is left out.")
    {
        _streams = streams;
        foreach (Option option in new Option[] { _title, _mains, _cameras, _formats, _fixtures, _levels, _otherLight, _out, _overwrite, _paper }) Add(option);
        SetAction((call, cancellation) => Task.Run(() => Run(call, cancellation), cancellation));
    }

    /// <inheritdoc/>
    public IReadOnlyList<(string Call, string Meaning)> Examples { get; } =
    [
        ("flickerprobe plan", "Ask for everything, then write audition.yaml and the shot list here."),
        ("flickerprobe plan --mains 50Hz --camera hall=25,29.97@1/50,1/100,1/250,1/1000 --format 25@1/50 --fixture \"Wash A\" --fixture \"Wash B\" --levels 100%,50%,10% --out spring/audition.yaml", "Plan without questions."),
    ];

    private int Run(ParseResult call, CancellationToken cancellation)
    {
        string file = call.GetValue(_out) ?? "audition.yaml";
        WritablePlace.CheckFile(file, "--out", []);
        ShotPlan plan = Planner.Plan(Request(call));
        PlanWriter.Write(plan, file, call.GetValue(_paper), call.GetValue(_overwrite), TimeProvider.System.GetUtcNow(), cancellation);
        foreach (PlannedTake take in plan.Takes)
            _streams.Output.WriteLine(SafeText.Line($"{take.Number,3}  {take.Fixture ?? take.Kind.ToString().ToLowerInvariant()}, {take.Camera}, {take.Setting.ToShortText()}: {take.Purpose}"));
        foreach (string caution in plan.Cautions) _streams.Output.WriteLine(SafeText.Line("Caution: " + caution));
        foreach (string written in PlanWriter.Files(file)) _streams.Output.WriteLine(SafeText.Line("Written: " + written));
        return ExitStatus.Done;
    }

    private PlanRequest Request(ParseResult call)
    {
        bool asked = call.GetValue(_cameras) is not { Count: > 0 } || call.GetValue(_fixtures) is not { Length: > 0 };
        // Whoever gives both cameras and fixtures knows the options; the rest then has its stated default.
        var ask = new PlanInterview(_streams, asked && _streams.InputIsTerminal);
        string title = call.GetValue(_title) ?? ask.For("title");
        double? mains = call.GetValue(_mains) is { } given ? PlanAnswers.Mains(given) : ask.For("mains", PlanAnswers.Mains);
        IReadOnlyList<PlanCamera> cameras = call.GetValue(_cameras) is { Count: > 0 } named
            ? named
            : [.. ask.Needed("camera", "--camera", PlanAnswers.List).Select(name => ask.Camera(name))];
        CameraFormat[] formats = call.GetValue(_formats) is { Length: > 0 } texts
            ? [.. texts.Select(text => PlanAnswers.Format(text, cameras))]
            : ask.For<CameraFormat[]>("format", text => [.. PlanAnswers.List(text).Select(format => PlanAnswers.Format(format, cameras))]);
        IReadOnlyList<string> fixtures = call.GetValue(_fixtures) is { Length: > 0 } candidates ? [.. candidates.Distinct()] : ask.Needed("fixture", "--fixture", PlanAnswers.List);
        IReadOnlyList<double> levels = call.GetValue(_levels) is { } list ? PlanAnswers.Levels(list) : ask.For("levels", PlanAnswers.Levels);
        bool otherLightOff = !call.GetValue(_otherLight) && ask.For("other-light", PlanAnswers.YesNo);
        foreach (string? unknown in formats.Select(f => f.CameraName).Where(n => n is not null && cameras.All(c => c.Name != n)))
            throw new InputException($"A format names the camera '{unknown}', which is not among the cameras: add it with --camera, or correct the name.");
        return new PlanRequest(mains, cameras, formats, fixtures, levels, otherLightOff) { Title = title };
    }
}
