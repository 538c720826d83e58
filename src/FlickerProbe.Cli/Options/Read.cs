using System.CommandLine.Parsing;
using FlickerProbe.Units;

namespace FlickerProbe.Cli.Options;

/// <summary>Turns the project's own parsers into option parsers: their sentence becomes the refusal of the call.</summary>
internal static class Read
{
    /// <summary>A parser for an option given once.</summary>
    public static Func<ArgumentResult, T?> One<T>(Func<string, T> parse) => argument =>
    {
        if (argument.Tokens.Count == 0) return default;
        try
        {
            return parse(argument.Tokens[0].Value);
        }
        catch (InputException refusal)
        {
            argument.AddError(refusal.Message);
            return default;
        }
    };

    /// <summary>A parser for an option that may be repeated.</summary>
    public static Func<ArgumentResult, IReadOnlyList<T>> Many<T>(Func<string, T> parse) => argument =>
    {
        var values = new List<T>();
        foreach (Token token in argument.Tokens)
        {
            try
            {
                values.Add(parse(token.Value));
            }
            catch (InputException refusal)
            {
                argument.AddError(refusal.Message);
                break;
            }
        }
        return values;
    };
}
