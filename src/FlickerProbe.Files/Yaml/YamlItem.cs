using System.Globalization;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Yaml;

/// <summary>One piece of a YAML file that remembers where it stands, so that every complaint can name file and line.</summary>
/// <param name="File">The file's name as the user gave it.</param>
/// <param name="Line">Line in that file, the first is 1.</param>
public abstract record YamlItem(string File, int Line)
{
    /// <summary>What this piece is, in plain words.</summary>
    public abstract string Kind { get; }

    /// <summary>A complaint about this piece: file, line, then the sentence. To be thrown by the caller.</summary>
    public InputException Problem(string sentence) =>
        new(string.Create(CultureInfo.InvariantCulture, $"{File}, line {Line}: {sentence}"));

    /// <summary>This piece as a block of <c>key: value</c> lines.</summary>
    /// <exception cref="InputException">It is something else.</exception>
    public YamlMap AsMap(string what) => this as YamlMap ?? throw Problem($"{what} must be a block of 'key: value' lines, but is {Kind}.");

    /// <summary>This piece as a list.</summary>
    /// <exception cref="InputException">It is something else.</exception>
    public YamlSequence AsSequence(string what) => this as YamlSequence ?? throw Problem($"{what} must be a list, but is {Kind}.");

    /// <summary>This piece as a single value that is not empty.</summary>
    /// <exception cref="InputException">It is something else or empty.</exception>
    public YamlScalar AsScalar(string what)
    {
        YamlScalar scalar = this as YamlScalar ?? throw Problem($"{what} must be a single value, but is {Kind}.");
        return scalar.IsEmpty ? throw Problem($"{what} has no value: write one after the colon or leave the key out.") : scalar;
    }
}
