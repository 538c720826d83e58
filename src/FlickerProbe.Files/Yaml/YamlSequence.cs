namespace FlickerProbe.Files.Yaml;

/// <summary>A list.</summary>
/// <param name="File">The file's name.</param>
/// <param name="Line">Line on which it starts.</param>
/// <param name="Items">Its entries in order.</param>
public sealed record YamlSequence(string File, int Line, IReadOnlyList<YamlItem> Items) : YamlItem(File, Line)
{
    /// <inheritdoc/>
    public override string Kind => "a list";
}
