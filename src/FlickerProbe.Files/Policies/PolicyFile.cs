using System.Security.Cryptography;
using System.Text;
using FlickerProbe.Files.Yaml;
using FlickerProbe.Room;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Files.Policies;

/// <summary>A policy read from a file.</summary>
/// <param name="Policy">The lines.</param>
/// <param name="Sha256">Digest of the file's bytes, lower-case hexadecimal, for the result file.</param>
public sealed record LoadedPolicy(Policy Policy, string Sha256);

/// <summary>Reads a policy file (YAML): the lines a venue holds its lights against.</summary>
/// <remarks>
/// <code>
/// schema: flickerprobe/policy/1
/// name: House rules
/// depth: { pass: 1%, fail: 3% }
/// pulsing: { pass: 0.5%, fail: 1.5%, source: agreed with the picture editor }
/// svm-threshold: cie-2016        # or perz-2018
/// </code>
/// What is left out stays as in <see cref="Policy.Default"/>. Shares are written <c>1%</c> or <c>0.01</c>.
/// </remarks>
public static class PolicyFile
{
    /// <summary>The schema this build reads.</summary>
    public const string SchemaName = "flickerprobe/policy/1";

    /// <summary>Reads a policy from disk.</summary>
    /// <exception cref="InputException">The file can't be read or used; the sentence names file, line and what was expected.</exception>
    public static LoadedPolicy Read(string path)
    {
        Policy policy = From(YamlReader.ReadFile(path));
        return new LoadedPolicy(policy, Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(path))));
    }

    /// <summary>Reads a policy from text.</summary>
    /// <exception cref="InputException">The text can't be used.</exception>
    public static LoadedPolicy Parse(string text, string file) =>
        new(From(YamlReader.Parse(text, file)), Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text))));

    private static Policy From(YamlMap map)
    {
        map.Only("a policy", "schema", "name", "depth", "pulsing", "svm-threshold");
        YamlScalar schema = map.Required("schema", "A policy").AsScalar("'schema'");
        if (schema.Text != SchemaName) throw schema.Problem($"the schema is '{schema.Text}', but this version reads '{SchemaName}'.");
        string name = map.Text("name") ?? Path.GetFileNameWithoutExtension(map.File);
        return Policy.Default with
        {
            Name = name,
            Depth = ReadLines(map, "depth", Policy.Default.Depth, name),
            Pulsing = ReadLines(map, "pulsing", Policy.Default.Pulsing, name),
            SvmThreshold = map.Find("svm-threshold") is { } threshold ? Threshold(threshold.AsScalar("'svm-threshold'")) : Policy.Default.SvmThreshold,
        };
    }

    private static Lines ReadLines(YamlMap map, string key, Lines usual, string name)
    {
        if (map.Map(key) is not { } block) return usual;
        block.Only($"'{key}'", "pass", "fail", "source");
        double pass = Share(block, "pass") ?? usual.Pass;
        double fail = Share(block, "fail") ?? usual.Fail;
        if (pass > fail)
        {
            throw (block.Find("pass") ?? block).Problem(
                $"the pass line of '{key}' ({Percent.Of(pass)}) lies over its fail line ({Percent.Of(fail)}): a light must be better to pass than to fail; swap or change them.");
        }
        return new Lines(pass, fail, block.Text("source") ?? $"the policy '{name}'");
    }

    private static double? Share(YamlMap block, string key)
    {
        if (block.Find(key) is not { } item) return null;
        YamlScalar scalar = item.AsScalar($"'{key}'");
        double? share = Parsing.Share(scalar.Text);
        // "pass: 1" is 100 % by the letter and 1 % by intention: ask.
        bool isBareAndLarge = !scalar.Text.Contains('%', StringComparison.Ordinal) && share > 0.5;
        if (share is not > 0 || isBareAndLarge)
            throw scalar.Problem($"'{key}' must be a share such as 1% or 0.01, but is '{scalar.Text}'.");
        return share;
    }

    private static StroboscopicThreshold Threshold(YamlScalar scalar) => scalar.Text switch
    {
        "cie-2016" => StroboscopicThreshold.Cie2016,
        "perz-2018" => StroboscopicThreshold.Perz2018,
        _ => throw scalar.Problem($"'svm-threshold' must be cie-2016 or perz-2018, but is '{scalar.Text}'."),
    };
}
