using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;
using YamlDotNet.Core;
using YamlDotNet.RepresentationModel;
using Emitter = FlickerProbe.Rendering.Scene.Emitter;

namespace FlickerProbe.Rendering.Fixtures;

/// <summary>A fixture file that does not say what it should; the message names file, line and key.</summary>
public sealed class FixtureFileException(string message) : Exception(message);

/// <summary>Reads fixtures from YAML; the format is described in fixtures/README.md.</summary>
public sealed class FixtureFile
{
    private readonly string _path;

    private FixtureFile(string path) => _path = path;

    /// <summary>Reads a fixture file.</summary>
    public static Fixture Read(string path) => Parse(File.ReadAllText(path), path);

    /// <summary>Reads a fixture from text; <paramref name="path"/> is for messages.</summary>
    public static Fixture Parse(string yaml, string path = "fixture")
    {
        FixtureFile file = new(path);
        YamlStream stream = [];
        try
        {
            stream.Load(new StringReader(yaml));
        }
        catch (YamlException e)
        {
            throw new FixtureFileException($"{path}:{e.Start.Line}: not YAML: {e.Message}");
        }

        if (stream.Documents.Count == 0) throw new FixtureFileException($"{path}: the file is empty.");
        return file.ReadFixture(stream.Documents[0].RootNode);
    }

    private Fixture ReadFixture(YamlNode root)
    {
        Dictionary<string, YamlNode> map = Map(root, "schema", "name", "description", "mains", "notes", "levels");
        if (Text(Need(root, map, "schema")) != "flickerprobe/fixture/1") throw Bad(root, "schema must be flickerprobe/fixture/1");
        double mains = Value(Need(root, map, "mains"), Quantity.Hertz);
        List<FixtureLevel> levels = [];
        foreach (YamlNode item in List(Need(root, map, "levels")))
        {
            Dictionary<string, YamlNode> level = Map(item, "dimmer", "light", "emitters");
            double dimmer = Value(Need(item, level, "dimmer"), Quantity.Share);
            if (level.ContainsKey("light") == level.ContainsKey("emitters")) throw Bad(item, "a level needs either light or emitters");
            levels.Add(new FixtureLevel(dimmer, level.TryGetValue("light", out YamlNode? light)
                ? [new Emitter(ReadLight(light, mains), Rgb.White)]
                : [.. List(level["emitters"]).Select(e => ReadEmitter(e, mains))]));
        }

        return new Fixture
        {
            Name = Text(Need(root, map, "name")),
            Description = map.TryGetValue("description", out YamlNode? d) ? Text(d).Trim() : "",
            MainsHz = mains,
            Notes = map.TryGetValue("notes", out YamlNode? n) ? Map(n).ToDictionary(p => p.Key, p => Text(p.Value)) : new Dictionary<string, string>(),
            Levels = [.. levels.OrderByDescending(l => l.Dimmer)],
        };
    }

    private Emitter ReadEmitter(YamlNode node, double mains)
    {
        Dictionary<string, YamlNode> map = Map(node, "colour", "light");
        double[] rgb = [.. List(Need(node, map, "colour")).Select(c => Value(c, Quantity.Share))];
        if (rgb.Length != 3) throw Bad(node, "colour is three numbers: red, green, blue in linear light");
        return new Emitter(ReadLight(Need(node, map, "light"), mains), new Rgb(rgb[0], rgb[1], rgb[2]));
    }

    private Waveform ReadLight(YamlNode node, double mains)
    {
        Dictionary<string, YamlNode> map = Map(node, "steady", "ripple", "tones", "pulse", "rectified", "table", "multiply", "add");
        if (map.Count != 1) throw Bad(node, "a light is one of steady, ripple, tones, pulse, rectified, table, multiply, add");
        (string kind, YamlNode body) = map.Single();
        switch (kind)
        {
            case "steady":
                return new SteadyLight { Output = Value(body, Quantity.Share) };
            case "multiply":
                return new ProductLight { Parts = [.. List(body).Select(n => ReadLight(n, mains))] };
            case "add":
                return new SumLight { Parts = [.. List(body).Select(n => ReadLight(n, mains))] };
            case "ripple":
            {
                // Harmonics of twice the mains, locked to it.
                Dictionary<string, YamlNode> m = Map(body, "mean", "harmonics");
                return Tones(body, m, 2 * mains, true);
            }

            case "tones":
            {
                Dictionary<string, YamlNode> m = Map(body, "frequency", "mean", "harmonics", "locked-to-mains");
                return Tones(body, m, Value(Need(body, m, "frequency"), Quantity.Hertz), Flag(m, "locked-to-mains", false));
            }

            case "pulse":
            {
                Dictionary<string, YamlNode> m = Map(body, "frequency", "duty", "low", "high", "edge", "phase", "locked-to-mains");
                return new PulseLight
                {
                    FrequencyHz = Value(Need(body, m, "frequency"), Quantity.Hertz),
                    Duty = Value(Need(body, m, "duty"), Quantity.Share),
                    Low = Optional(m, "low", Quantity.Share, 0),
                    High = Optional(m, "high", Quantity.Share, 1),
                    EdgeSeconds = Optional(m, "edge", Quantity.Seconds, 0),
                    PhaseCycles = Optional(m, "phase", Quantity.Radians, 0) / (2 * Math.PI),
                    MainsLocked = Flag(m, "locked-to-mains", false),
                };
            }

            case "rectified":
            {
                Dictionary<string, YamlNode> m = Map(body, "waves");
                return new RectifiedLight { MainsHz = mains, FullWave = !m.TryGetValue("waves", out YamlNode? w) || Text(w) == "full" };
            }

            default:
            {
                Dictionary<string, YamlNode> m = Map(body, "frequency", "points", "locked-to-mains");
                return new PolylineLight
                {
                    FrequencyHz = Value(Need(body, m, "frequency"), Quantity.Hertz),
                    Points = [.. List(Need(body, m, "points")).Select(Point)],
                    MainsLocked = Flag(m, "locked-to-mains", false),
                };
            }
        }
    }

    private TonesLight Tones(YamlNode body, Dictionary<string, YamlNode> map, double fundamentalHz, bool locked) => new()
    {
        FundamentalHz = fundamentalHz,
        Mean = Optional(map, "mean", Quantity.Share, 1),
        MainsLocked = locked,
        Harmonics =
        [
            .. List(Need(body, map, "harmonics")).Select(n =>
            {
                Dictionary<string, YamlNode> h = Map(n, "order", "amplitude", "phase");
                return new Harmonic((int)Value(Need(n, h, "order"), t => Quantity.Plain(t, t)), Value(Need(n, h, "amplitude"), Quantity.Share), Optional(h, "phase", Quantity.Radians, 0));
            }),
        ],
    };

    private CyclePoint Point(YamlNode node)
    {
        double[] pair = [.. List(node).Select(c => Value(c, Quantity.Share))];
        return pair.Length == 2 ? new CyclePoint(pair[0], pair[1]) : throw Bad(node, "a point is [share of the period, output]");
    }

    private Dictionary<string, YamlNode> Map(YamlNode node, params string[] known)
    {
        if (node is not YamlMappingNode map) throw Bad(node, known.Length > 0 ? $"expected keys: {string.Join(", ", known)}" : "expected keys and values");
        Dictionary<string, YamlNode> found = [];
        foreach ((YamlNode key, YamlNode value) in map.Children)
        {
            string name = Text(key);
            if (known.Length > 0 && !known.Contains(name)) throw Bad(key, $"'{name}' is not known here; known are {string.Join(", ", known)}");
            found[name] = value;
        }

        return found;
    }

    private YamlNode Need(YamlNode node, Dictionary<string, YamlNode> map, string key) =>
        map.GetValueOrDefault(key) ?? throw Bad(node, $"'{key}' is missing");

    private IEnumerable<YamlNode> List(YamlNode node) => node as YamlSequenceNode ?? throw Bad(node, "expected a list");

    private string Text(YamlNode node) => (node as YamlScalarNode)?.Value ?? throw Bad(node, "expected a value");

    private double Value(YamlNode node, Func<string, double> read)
    {
        try
        {
            return read(Text(node));
        }
        catch (FormatException e)
        {
            throw Bad(node, e.Message.TrimEnd('.'));
        }
    }

    private double Optional(Dictionary<string, YamlNode> map, string key, Func<string, double> read, double otherwise) =>
        map.TryGetValue(key, out YamlNode? node) ? Value(node, read) : otherwise;

    private bool Flag(Dictionary<string, YamlNode> map, string key, bool otherwise)
    {
        if (!map.TryGetValue(key, out YamlNode? node)) return otherwise;
        return Text(node) switch { "true" => true, "false" => false, _ => throw Bad(node, $"{key} is true or false") };
    }

    private FixtureFileException Bad(YamlNode node, string message) => new($"{_path}:{node.Start.Line}: {message}.");
}
