using System.CommandLine;

namespace FlickerProbe.Cli;

/// <summary>Words what is wrong with a call, in one sentence with the way out.</summary>
internal static class CallErrors
{
    /// <summary>The first problem of a call that could not be parsed.</summary>
    public static string Sentence(ParseResult call)
    {
        Command command = call.CommandResult.Command;
        string name = command is RootCommand ? "flickerprobe" : "flickerprobe " + command.Name;
        string problem = call.UnmatchedTokens.Count > 0
            ? Unknown(call.UnmatchedTokens[0], command)
            : call.Errors[0].Message.TrimEnd('.');
        // A sentence of the project's own parsers already says what to do.
        return problem.Contains(": ", StringComparison.Ordinal) ? problem + "." : $"{problem}; see {name} --help.";
    }

    private static string Unknown(string token, Command command)
    {
        bool option = token.StartsWith('-') && token.Length > 1;
        string kind = option ? "an option" : command.Subcommands.Count > 0 ? "a command" : "an argument";
        List<string> known = [.. option ? command.Options.Select(o => o.Name) : command.Subcommands.Select(c => c.Name)];
        string? near = Files.Yaml.NearestWord.To(token, known);
        return $"'{token}' is not {kind} of {(command is RootCommand ? "flickerprobe" : command.Name)}" + (near is null ? "" : $" (did you mean {near}?)");
    }
}
