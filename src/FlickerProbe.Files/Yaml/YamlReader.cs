using System.Globalization;
using System.Text;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace FlickerProbe.Files.Yaml;

/// <summary>Reads the plain part of YAML that people write by hand: blocks, lists and values, each with its line.</summary>
/// <remarks>Refused, because nobody needs them here and they hide mistakes or cost memory: anchors, aliases and tags, a key twice,
/// several documents in one file, nesting deeper than <see cref="DeepestNesting"/>, files over <see cref="LargestBytes"/>.</remarks>
public static class YamlReader
{
    /// <summary>Largest file read, bytes.</summary>
    public const int LargestBytes = 1 << 20;

    /// <summary>Deepest nesting read.</summary>
    public const int DeepestNesting = 16;

    /// <summary>Reads a file from disk.</summary>
    /// <param name="path">Where it lies; complaints name it just so.</param>
    /// <exception cref="InputException">The file is missing, too large, not UTF-8 text, or not YAML as described above.</exception>
    public static YamlMap ReadFile(string path)
    {
        byte[] bytes;
        try
        {
            bytes = BoundedFile.Read(path, LargestBytes)
                ?? throw new InputException($"{path}: the file is larger than 1 MiB, which no hand-written settings file is; give the right file.");
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException or NotSupportedException or ArgumentException)
        {
            string found = problem is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : "the file can't be read";
            throw new InputException($"{path}: {found}; check its name and where it lies.", problem);
        }

        try
        {
            string text = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true).GetString(bytes);
            return Parse(text.TrimStart('\uFEFF'), path);
        }
        catch (DecoderFallbackException problem)
        {
            throw new InputException($"{path}: the file is not UTF-8 text; save it as UTF-8.", problem);
        }
    }

    /// <summary>Reads YAML text whose top is a block of <c>key: value</c> lines.</summary>
    /// <param name="text">The whole text.</param>
    /// <param name="file">Name to use in complaints.</param>
    /// <exception cref="InputException">The text is not YAML as described above.</exception>
    public static YamlMap Parse(string text, string file)
    {
        if (text.Length > LargestBytes) throw new InputException($"{file}: the text is longer than 1 MiB, which no hand-written settings file is.");
        Parser parser = new(new StringReader(text));
        try
        {
            parser.Consume<StreamStart>();
            if (!parser.TryConsume<DocumentStart>(out _)) throw new InputException($"{file}, line 1: the file is empty; expected 'key: value' lines.");
            YamlMap map = ReadItem(parser, file, 0).AsMap("The top of the file");
            parser.Consume<DocumentEnd>();
            if (parser.Current is DocumentStart second) throw Problem(file, second.Start, "a second document starts here; keep one file to one document.");
            return map;
        }
        catch (YamlException problem)
        {
            string reason = problem.InnerException?.Message ?? problem.Message;
            throw new InputException(Problem(file, problem.End, $"this is not valid YAML ({reason.TrimEnd('.')}); check indentation, colons and quotation marks.").Message, problem);
        }
        catch (InvalidOperationException problem)
        {
            // The library's answer to some unclosed brackets: it says neither where nor what.
            throw new InputException(Problem(file, parser.Current?.End ?? Mark.Empty, "this is not valid YAML from here on; check indentation, brackets and colons.").Message, problem);
        }
    }

    private static YamlItem ReadItem(Parser parser, string file, int depth)
    {
        ParsingEvent next = parser.Consume<ParsingEvent>();
        if (next is AnchorAlias alias) throw Problem(file, next.Start, $"the alias '*{alias.Value}' is not allowed; write the value out.");
        if (next is NodeEvent { Anchor.IsEmpty: false } anchored) throw Problem(file, next.Start, $"the anchor '&{anchored.Anchor}' is not allowed; write the value out where it is needed.");
        if (next is NodeEvent { Tag.IsEmpty: false } tagged && !tagged.Tag.IsNonSpecific) throw Problem(file, next.Start, $"the tag '{tagged.Tag.Value}' is not allowed; write a plain value.");
        if (depth > DeepestNesting) throw Problem(file, next.Start, "the nesting is deeper than anything this file may hold.");

        int line = (int)next.Start.Line;
        return next switch
        {
            Scalar scalar => new YamlScalar(file, line, scalar.Value, scalar.Style == ScalarStyle.Plain),
            SequenceStart => new YamlSequence(file, line, ReadSequence(parser, file, depth)),
            MappingStart => new YamlMap(file, line, ReadMap(parser, file, depth)),
            _ => throw Problem(file, next.Start, "a value was expected here."),
        };
    }

    private static List<YamlItem> ReadSequence(Parser parser, string file, int depth)
    {
        List<YamlItem> items = [];
        while (!parser.TryConsume<SequenceEnd>(out _)) items.Add(ReadItem(parser, file, depth + 1));
        return items;
    }

    private static List<YamlMapEntry> ReadMap(Parser parser, string file, int depth)
    {
        List<YamlMapEntry> entries = [];
        Dictionary<string, int> lines = new(StringComparer.Ordinal);
        while (!parser.TryConsume<MappingEnd>(out _))
        {
            YamlItem key = ReadItem(parser, file, depth + 1);
            if (key is not YamlScalar word) throw key.Problem($"a key must be a single word, but is {key.Kind}.");
            if (!lines.TryAdd(word.Text, word.Line))
                throw word.Problem(string.Create(CultureInfo.InvariantCulture, $"'{word.Text}' stands here a second time; the first is on line {lines[word.Text]}. Keep one of them."));
            entries.Add(new YamlMapEntry(word, ReadItem(parser, file, depth + 1)));
        }
        return entries;
    }

    private static InputException Problem(string file, Mark where, string sentence) =>
        new(string.Create(CultureInfo.InvariantCulture, $"{file}, line {where.Line}: {sentence}"));
}
