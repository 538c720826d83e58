using FlickerProbe.Units;

namespace FlickerProbe.Files.Yaml;

/// <summary>A single value as it is written.</summary>
/// <param name="File">The file's name.</param>
/// <param name="Line">Line in that file.</param>
/// <param name="Text">The characters of the value.</param>
/// <param name="IsPlain">Whether it stands without quotation marks; only plain values can be numbers or flags.</param>
public sealed record YamlScalar(string File, int Line, string Text, bool IsPlain) : YamlItem(File, Line)
{
    /// <inheritdoc/>
    public override string Kind => IsEmpty ? "empty" : $"the single value '{Text}'";

    /// <summary>Whether nothing is there (also YAML's own spellings of nothing).</summary>
    public bool IsEmpty => IsPlain ? Text is "" or "~" or "null" or "Null" or "NULL" : Text.Trim().Length == 0;

    /// <summary>The value as a finite number.</summary>
    /// <exception cref="InputException">It is quoted, no number, or not finite.</exception>
    public double Number(string what) =>
        IsPlain && Parsing.Number(Text) is { } value
            ? value
            : throw Problem($"{what} must be a number with a decimal point such as 0.01, but is '{Text}'.");

    /// <summary>The value as yes or no.</summary>
    /// <exception cref="InputException">It is neither <c>true</c>, <c>yes</c>, <c>false</c> nor <c>no</c>.</exception>
    public bool Flag(string what) => (IsPlain ? Text : "") switch
    {
        "true" or "yes" => true,
        "false" or "no" => false,
        _ => throw Problem($"{what} must be 'yes' or 'no', but is '{Text}'."),
    };

    /// <summary>The value read by one of the core's readers; their complaint is passed on with file and line.</summary>
    /// <exception cref="InputException">The reader refused it.</exception>
    public T Parsed<T>(Func<string, T> reader)
    {
        try
        {
            return reader(Text);
        }
        catch (InputException refusal)
        {
            throw Problem(refusal.Message);
        }
    }
}
