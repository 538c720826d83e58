using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using FlickerProbe.Cli.Commands;
using FlickerProbe.Cli.Terminal;

namespace FlickerProbe.Cli;

/// <summary>The program without its process: arguments in, exit status out, text to the given streams.</summary>
public sealed class Application(Streams streams)
{
    private static readonly ParserConfiguration ParsingRules = new()
    {
        // A clip may be called "@evening.mp4": no file of arguments is read.
        ResponseFileTokenReplacer = null,
        EnablePosixBundling = false,
    };

    /// <summary>Runs one call.</summary>
    public async Task<int> RunAsync(IReadOnlyList<string> arguments, CancellationToken cancellation = default)
    {
        try
        {
            ParseResult call = BuildRoot().Parse(arguments, ParsingRules);
            if (call.Action is ParseErrorAction || CallErrors.EmptyArgument(call) is not null)
            {
                streams.Error.WriteLine(SafeText.Sentence(CallErrors.EmptyArgument(call) ?? CallErrors.Sentence(call)));
                return ExitStatus.CallIsWrong;
            }
            return await call.InvokeAsync(
                new InvocationConfiguration
                {
                    Output = streams.Output,
                    Error = streams.Error,
                    EnableDefaultExceptionHandler = false,
                    // Time to end ffmpeg and take away half-written files.
                    ProcessTerminationTimeout = TimeSpan.FromSeconds(5),
                },
                cancellation).ConfigureAwait(false);
        }
        catch (Exception problem)
        {
            (int status, string sentence) = Refusals.Of(problem);
            streams.Error.WriteLine(SafeText.Sentence(sentence));
            return status;
        }
    }

    private RootCommand BuildRoot()
    {
        var root = new RootCommand("Works out from a clip of your own camera whether a light flickers on it, how badly, and which shutter is safe.")
        {
            HelpName = "flickerprobe",
        };
        foreach (Command command in AllCommands.Create(streams)) root.Add(command);
        foreach (Option option in root.Options)
        {
            if (option is HelpOption { Action: HelpAction usual } help) help.Action = new HelpWithExamples(usual);
        }
        return root;
    }
}
