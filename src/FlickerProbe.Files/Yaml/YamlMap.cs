using FlickerProbe.Units;

namespace FlickerProbe.Files.Yaml;

/// <summary>A block of <c>key: value</c> lines; keys are single words and occur once.</summary>
/// <param name="File">The file's name.</param>
/// <param name="Line">Line on which it starts.</param>
/// <param name="Entries">Key, where the key stands, and its value, in the order of the file.</param>
public sealed record YamlMap(string File, int Line, IReadOnlyList<YamlMapEntry> Entries) : YamlItem(File, Line)
{
    /// <inheritdoc/>
    public override string Kind => "a block of 'key: value' lines";

    /// <summary>Refuses every key that is not in the list and names the nearest one that is.</summary>
    /// <exception cref="InputException">There is an unknown key.</exception>
    public void Only(string what, params string[] known)
    {
        foreach (YamlMapEntry entry in Entries)
        {
            if (known.Contains(entry.Key.Text, StringComparer.Ordinal)) continue;
            string? nearest = NearestWord.To(entry.Key.Text, known);
            throw entry.Key.Problem(
                $"'{entry.Key.Text}' is not known in {what}: " + (nearest is null ? "" : $"did you mean '{nearest}'? ") +
                $"Known here: {string.Join(", ", known)}.");
        }
    }

    /// <summary>The value of a key; null when the key is not there.</summary>
    public YamlItem? Find(string key) => Entries.FirstOrDefault(e => e.Key.Text == key)?.Value;

    /// <summary>The value of a key.</summary>
    /// <exception cref="InputException">The key is not there.</exception>
    public YamlItem Required(string key, string what) =>
        Find(key) ?? throw Problem($"{what} needs '{key}': add a line '{key}: …'.");

    /// <summary>The text of a key; null when the key is not there.</summary>
    /// <exception cref="InputException">It is a list, a block or empty.</exception>
    public string? Text(string key) => Find(key)?.AsScalar($"'{key}'").Text;

    /// <summary>The text of a key.</summary>
    /// <exception cref="InputException">The key is not there, or is a list, a block or empty.</exception>
    public string RequiredText(string key, string what) => Required(key, what).AsScalar($"'{key}'").Text;

    /// <summary>The finite number of a key; null when the key is not there.</summary>
    /// <exception cref="InputException">It is no number.</exception>
    public double? Number(string key) => Find(key)?.AsScalar($"'{key}'").Number($"'{key}'");

    /// <summary>Yes or no; null when the key is not there.</summary>
    /// <exception cref="InputException">It is neither.</exception>
    public bool? Flag(string key) => Find(key)?.AsScalar($"'{key}'").Flag($"'{key}'");

    /// <summary>The value of a key read by one of the core's readers, such as <c>FrameRate.Parse</c>; null when the key is not there.</summary>
    /// <exception cref="InputException">The reader refused it; the complaint carries file and line.</exception>
    public T? Parsed<T>(string key, Func<string, T> reader) where T : class => Find(key)?.AsScalar($"'{key}'").Parsed(reader);

    /// <summary>A block under a key; null when the key is not there.</summary>
    /// <exception cref="InputException">It is no block.</exception>
    public YamlMap? Map(string key) => Find(key)?.AsMap($"'{key}'");

    /// <summary>A list under a key; null when the key is not there.</summary>
    /// <exception cref="InputException">It is no list.</exception>
    public YamlSequence? Sequence(string key) => Find(key)?.AsSequence($"'{key}'");
}

/// <summary>One line of a block.</summary>
/// <param name="Key">The key with its place.</param>
/// <param name="Value">The value.</param>
public sealed record YamlMapEntry(YamlScalar Key, YamlItem Value);
