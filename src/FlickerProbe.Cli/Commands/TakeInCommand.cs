using System.CommandLine;
using System.Globalization;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Auditions;

namespace FlickerProbe.Cli.Commands;

/// <summary><c>flickerprobe take-in FILE</c>: which clip of a folder is which planned take.</summary>
internal sealed class TakeInCommand : Command, IHasExamples
{
    private readonly Streams _streams;
    private readonly Argument<string> _file = new("FILE") { Description = "The audition file (YAML)." };
    private readonly Option<string?> _clips = new("--clips") { HelpName = "FOLDER", Description = "Folder with the clips. Left out: the audition file's own." };
    private readonly Option<bool> _write = new("--write") { Description = "Write the matched names into the audition file. What is open stays as it is." };

    /// <summary>Makes the command.</summary>
    public TakeInCommand(Streams streams) : base("take-in", "Match a folder of clips to the takes an audition file expects, by order of recording, name, rate and length.")
    {
        _streams = streams;
        Add(_file);
        Add(_clips);
        Add(_write);
        SetAction((call, cancellation) => Task.Run(() => Run(call, cancellation), cancellation));
    }

    /// <inheritdoc/>
    public IReadOnlyList<(string Call, string Meaning)> Examples { get; } =
    [
        ("flickerprobe take-in spring/audition.yaml", "Show which clip is which take; nothing is changed."),
        ("flickerprobe take-in spring/audition.yaml --write", "The same, and write the sure ones into the file."),
    ];

    private int Run(ParseResult call, CancellationToken cancellation)
    {
        string path = call.GetRequiredValue(_file);
        Audition audition = AuditionReader.ReadFile(path);
        IReadOnlyList<TakeInClip> clips = TakeInFolder.List(
            call.GetValue(_clips) ?? audition.Folder, audition.Folder, told => _streams.Error.WriteLine(SafeText.Line(told)), cancellation);
        TakeInTable table = TakeIn.Match(TakeInSlots.Of(audition), clips);
        foreach (TakeMatch match in table.Matches) _streams.Output.WriteLine(SafeText.Line(Line(match)));
        foreach (TakeInClip left in table.Left) _streams.Output.WriteLine(SafeText.Line($"not used   {left.Name}"));
        _streams.Output.WriteLine(SafeText.Line($"The order of shooting was told by {table.OrderedBy}."));
        if (call.GetValue(_write))
        {
            TakeInEdit.Write(path, table);
            int written = table.Matches.Count(m => m.State == MatchState.Matched);
            _streams.Output.WriteLine(SafeText.Line(string.Create(CultureInfo.InvariantCulture, $"Written into {path}: {written} of {table.Matches.Count} clips.")));
        }
        else if (table.Matches.Any(m => m.State == MatchState.Matched))
        {
            _streams.Output.WriteLine("Nothing was changed. If the table is right, write it into the file with --write.");
        }
        return ExitStatus.Done;
    }

    private static string Line(TakeMatch match) => match.State switch
    {
        MatchState.InPlace => $"in place   {match.Slot.Name} ({match.Slot.For})",
        MatchState.Matched => $"matched    {match.Slot.Name} ({match.Slot.For}) = {match.Clip!.Name}: {match.Reason}",
        _ => $"open       {match.Slot.Name} ({match.Slot.For}): {match.Reason}" + (match.Others.Count == 0 ? "" : $"; may be {string.Join(", ", match.Others.Select(o => o.Name))}"),
    };
}
