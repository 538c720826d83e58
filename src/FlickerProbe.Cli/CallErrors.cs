using System.CommandLine;
using System.CommandLine.Parsing;
using FlickerProbe.Files.Yaml;

namespace FlickerProbe.Cli;

/// <summary>Words what is wrong with a call, in one sentence with the way out.</summary>
internal static class CallErrors
{
    /// <summary>The first problem of a call that could not be parsed.</summary>
    public static string Sentence(ParseResult call)
    {
        Command command = call.CommandResult.Command;
        if (command.Subcommands.Count > 0)
        {
            return call.UnmatchedTokens is [string word, ..]
                ? Unknown(word, "a command of flickerprobe", command.Subcommands.Select(c => c.Name)) + $"; {Help(command)}."
                : $"Say what to do, such as flickerprobe measure CLIP; {Help(command)}.";
        }

        // An unknown option can make the words after it look wrong too; name the cause, not the effect.
        if (call.UnmatchedTokens.FirstOrDefault(IsOption) is { } option) return UnknownOption(option, command);
        // A mistyped option before the arguments is taken for one of them.
        foreach (Token token in command.Arguments.SelectMany(a => call.GetResult(a)?.Tokens ?? []))
        {
            if (token.Value.StartsWith("--", StringComparison.Ordinal) && !File.Exists(token.Value)) return UnknownOption(token.Value, command);
        }
        foreach (ParseError error in call.Errors)
        {
            OptionResult? wrong = error.SymbolResult as OptionResult ?? (error.SymbolResult as ArgumentResult)?.Parent as OptionResult;
            if (wrong is { Tokens.Count: 0 }) return $"{wrong.Option.Name} needs a value ({wrong.Option.HelpName}); {Help(command)}.";
            if (wrong is { Tokens.Count: > 1, Option.Arity.MaximumNumberOfValues: 1 }) return $"{wrong.Option.Name} is there {wrong.Tokens.Count} times: give it once.";
            if (wrong is not null) return error.Message;
        }
        if (call.UnmatchedTokens is [string extra, ..]) return $"'{extra}' is one argument too many for flickerprobe {command.Name}; {Help(command)}.";
        Argument? missing = command.Arguments.FirstOrDefault(a => a.Arity.MinimumNumberOfValues > 0 && call.GetResult(a) is null or { Tokens.Count: 0 });
        return missing is null ? call.Errors[0].Message : $"flickerprobe {command.Name} needs {missing.Name}; {Help(command)}.";
    }

    /// <summary>What is wrong with an argument whatever it stands for; null when all are words. A shell's unset variable comes as an empty one.</summary>
    public static string? EmptyArgument(ParseResult call) =>
        call.Tokens.Any(token => token.Type == TokenType.Argument && (string.IsNullOrWhiteSpace(token.Value) || token.Value.Contains('\0', StringComparison.Ordinal)))
            ? $"One argument is empty: give a name or a value in its place (a variable of a script may be unset); {Help(call.CommandResult.Command)}."
            : null;

    /// <summary>That a word is no option of a command, with the option it may have been meant to be.</summary>
    public static string UnknownOption(string word, Command command) =>
        Unknown(word.Split('=')[0], $"an option of flickerprobe {command.Name}", command.Options.Select(o => o.Name)) + $"; {Help(command)}.";

    private static string Unknown(string word, string kind, IEnumerable<string> known) =>
        $"'{word}' is not {kind}" + (NearestWord.To(word, [.. known]) is { } near ? $" (did you mean {near}?)" : "");

    private static string Help(Command command) => command is RootCommand ? "see flickerprobe --help" : $"see flickerprobe {command.Name} --help";

    private static bool IsOption(string word) => word.Length > 1 && word[0] == '-';
}
