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
    public static Func<ArgumentResult, IReadOnlyList<T>?> Many<T>(Func<string, T> parse) => argument =>
    {
        try
        {
            return [.. argument.Tokens.Select(token => parse(token.Value))];
        }
        catch (InputException refusal)
        {
            argument.AddError(refusal.Message);
            return null;
        }
    };

    /// <summary>One of a few words.</summary>
    /// <exception cref="InputException">It is none of them.</exception>
    public static T Word<T>(string text, string what, params (string Word, T Value)[] known)
    {
        foreach ((string word, T value) in known)
        {
            if (text.Equals(word, StringComparison.OrdinalIgnoreCase)) return value;
        }
        throw new InputException($"'{text}' is not a {what}: write {string.Join(" or ", known.Select(k => k.Word))}.");
    }
}
