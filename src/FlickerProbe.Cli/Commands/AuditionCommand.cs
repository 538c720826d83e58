using System.CommandLine;
using System.Globalization;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Policies;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Cli.Commands;

/// <summary><c>flickerprobe audition FILE</c>: all the takes of an evening in, one decision and its document out.</summary>
internal sealed class AuditionCommand : Command, IHasExamples
{
    private readonly Streams _streams;
    private readonly Argument<string> _file = new("FILE") { Description = "The audition file (YAML), kept beside its clips." };

    private readonly Option<string?> _out = new("--out")
    {
        HelpName = "FOLDER",
        Description = "Folder for the report. Left out: the file's name with '-report', beside it.",
    };

    private readonly Option<Paper> _paper = new("--paper")
    {
        HelpName = "a4|letter",
        CustomParser = Read.One(text => Read.Word(text, "paper", ("a4", Paper.A4), ("letter", Paper.Letter))),
        Description = "Paper of report.pdf. Left out: a4.",
    };

    private readonly Option<bool> _anew = new("--anew")
    {
        Description = "Measure every take again, also those kept from an earlier run.",
    };

    private readonly Option<ColourMode> _colour = ClipOptions.ColourOption();

    private readonly JudgingOptions _judging = new();
    private readonly OutputOptions _outputs = new();

    /// <summary>Makes the command.</summary>
    public AuditionCommand(Streams streams) : base("audition", "Measure all the takes of an audition, judge every fixture and write the report to decide by.")
    {
        _streams = streams;
        Add(_file);
        Add(_out);
        Add(_paper);
        Add(_anew);
        Add(_colour);
        _judging.AddPolicyTo(this);
        _outputs.AddTo(this, withReport: false);
        SetAction(RunAsync);
    }

    /// <inheritdoc/>
    public IReadOnlyList<(string Call, string Meaning)> Examples { get; } =
    [
        ("flickerprobe audition spring/audition.yaml", "Measure and write the report into 'spring/audition-report'."),
        ("flickerprobe audition spring/audition.yaml --out decision --paper letter", "Write it into the folder 'decision', the PDF on Letter."),
    ];

    private async Task<int> RunAsync(ParseResult call, CancellationToken cancellation)
    {
        string path = call.GetRequiredValue(_file);
        Audition audition = AuditionReader.ReadFile(path);
        LoadedPolicy? policy = _judging.Policy(call) ?? (audition.PolicyPath is { } own ? PolicyFile.Read(own) : null);
        string folder = call.GetValue(_out) ?? Path.Combine(Path.GetDirectoryName(path) ?? "", Path.GetFileNameWithoutExtension(path) + "-report");
        WritablePlace.CheckFolder(folder, "--out");
        Outputs outputs = _outputs.Of(call, [path]);

        TakeCache? cache = call.GetValue(_anew) ? null : new TakeCache(Path.GetDirectoryName(Path.GetFullPath(path))!, TimeProvider.System);
        var engine = new AuditionEngine(new PipelineTakeMeasurer(new TakeMeasurer(CameraStore.OfUser())), cache, TimeProvider.System);
        AuditionOutcome outcome = await WorkDisplay.RunAsync(
            _streams, progress => engine.RunAsync(audition, policy, new AuditionOptions { Colour = call.GetValue(_colour) }, progress, cancellation)).ConfigureAwait(false);

        foreach (string remark in outcome.Remarks) _streams.Error.WriteLine(SafeText.Sentence(remark));
        foreach (TakeFailure failure in outcome.Failures)
            _streams.Error.WriteLine(SafeText.Sentence(string.Create(CultureInfo.InvariantCulture, $"{path}, line {failure.Line}: {failure.Message}")));
        foreach ((TakeFailure failure, int number) in outcome.Failures.Where(f => f.Sweep is not null).Select((f, i) => (f, i + 1)))
        {
            string picture = Path.Combine(folder, string.Create(CultureInfo.InvariantCulture, $"sweep-{number}.png"));
            AtomicFile.Write(picture, SweepPlot.Draw(Path.GetFileName(failure.Clip), failure.Sweep!).ToPng());
            _streams.Error.WriteLine(SafeText.Line($"What was found in the sweep '{failure.Clip}': {picture}"));
        }
        int status = ResultWriter.Write(outcome.Result, outputs with { ReportFolder = folder, Paper = call.GetValue(_paper) }, _streams, cancellation, cache);
        bool nothingMeasured = outcome.Result.Fixtures.All(f => f.Levels.All(l => l.Takes.Count == 0));
        if (nothingMeasured && outcome.Failures.Count == 0)
            _streams.Error.WriteLine(SafeText.Sentence($"{path} names no take that could be measured: add takes with their clips."));
        return nothingMeasured ? ExitStatus.NothingMeasurable : status;
    }
}
