using System.Text;

namespace FlickerProbe.Robustness.Corpus;

/// <summary>Settings and result files that explode, lie, break off or point elsewhere. Each has to be refused with a sentence.</summary>
internal static class HostileText
{
    private const string Head = "schema: flickerprobe/audition/1\n";
    private const string Tail = "fixtures:\n  - name: Wash A\n    takes:\n      - { clip: secret.mp4, shutter: 1/250, dimmer: 100% }\n";

    /// <summary>All of them.</summary>
    public static IEnumerable<Trial> All(IReadOnlyList<SeedClip> seeds)
    {
        byte[] clip = seeds.First(s => s.Name == "mp4 libx264").Bytes;
        foreach ((string name, byte[] text) in Yaml(Head, Tail).Concat(Auditions))
            yield return Text("audition files", name, clip, text, "audition.yaml", path => ["audition", path, "--out", Path.Combine(Path.GetDirectoryName(path)!, Ending.OutName)]) with { Bound = Bound.RefusedInReport };
        foreach ((string name, byte[] text) in Yaml("schema: flickerprobe/policy/1\n", "depth: { pass: 1% }\n").Concat(Policies))
            yield return Text("policy files", name, clip, text, "policy.yaml", path => DamagedClips.Call(Path.GetDirectoryName(path)!, Beside(path), "--policy", path));
        foreach ((string name, byte[] text) in Results)
        {
            yield return Text("result files", name + ", compared", clip, text, "result.json", path => ["compare", path, "--report", Path.Combine(Path.GetDirectoryName(path)!, Ending.OutName)]);
            yield return Text("result files", name + ", forecast", clip, text, "result.json", path => ["forecast", path, "--format", "25@1/50"]);
        }
        foreach ((string name, byte[] text) in Curves)
            yield return Text("curve files", name, clip, text, "curve.cube", path => DamagedClips.Call(Path.GetDirectoryName(path)!, Beside(path), "--cube", path));
        foreach (string device in new[] { "/dev/zero", "/dev/null", "/dev/urandom", "/dev/full", "/proc/self/environ", "/proc/self/mem", "/sys", "/etc" })
        {
            yield return Device("audition files", device, clip, folder => ["audition", device, "--out", Path.Combine(folder, Ending.OutName)]);
            yield return Device("policy files", device, clip, folder => DamagedClips.Call(folder, Path.Combine(folder, "secret.mp4"), "--policy", device));
            yield return Device("result files", device, clip, _ => ["compare", device]);
            yield return Device("curve files", device, clip, folder => DamagedClips.Call(folder, Path.Combine(folder, "secret.mp4"), "--cube", device));
        }
    }

    private static string Beside(string path) => Path.Combine(Path.GetDirectoryName(path)!, "secret.mp4");

    private static Trial Text(string kind, string name, byte[] clip, byte[] text, string file, Func<string, string[]> call) => new(kind, name, Bound.Refused, folder =>
    {
        File.WriteAllBytes(Path.Combine(folder, "secret.mp4"), clip);
        string path = Path.Combine(folder, file);
        File.WriteAllBytes(path, text);
        return call(path);
    });

    private static Trial Device(string kind, string device, byte[] clip, Func<string, string[]> call) => new(kind, device, Bound.Refused, folder =>
    {
        File.WriteAllBytes(Path.Combine(folder, "secret.mp4"), clip);
        return call(folder);
    });

    private static byte[] Utf8(string text) => Encoding.UTF8.GetBytes(text);

    /// <summary>What can be wrong with any YAML file.</summary>
    private static IEnumerable<(string, byte[])> Yaml(string head, string tail)
    {
        string whole = head + tail;
        string laughs = string.Concat(Enumerable.Range(0, 30).Select(n => $"l{n}: &l{n} [{string.Join(", ", Enumerable.Repeat(n == 0 ? "lol" : $"*l{n - 1}", 9))}]\n"));
        return
        [
            ("aliases that explode", Utf8(head + laughs + tail)), ("merge keys", Utf8(head + "x: &a { b: 1 }\n<<: *a\n" + tail)), ("an alias of itself", Utf8(head + "x: &x [*x]\n" + tail)),
            ("a hundred thousand brackets", Utf8(head + "x: " + new string('[', 100_000))), ("a hundred thousand braces", Utf8(head + "x: " + new string('{', 100_000))), ("brackets and ends", Utf8(head + "x: " + new string('[', 50_000) + new string(']', 50_000) + "\n")),
            ("five thousand blocks deep", Utf8(head + string.Concat(Enumerable.Range(0, 1300).Select(n => new string(' ', n) + "a:\n")))), ("dashes deep", Utf8(head + "x:\n" + string.Concat(Enumerable.Repeat("- ", 5000)) + "1\n")),
            ("a key of a megabyte", Utf8(head + new string('k', 900_000) + ": 1\n")), ("a value of a megabyte", Utf8(head + "mains: " + new string('5', 900_000) + "\n" + tail)), ("a hundred thousand keys", Utf8(head + string.Concat(Enumerable.Range(0, 90_000).Select(n => $"k{n}: 1\n")))), ("beyond a megabyte", Utf8(whole + "# " + new string('x', 1_100_000))),
            ("UTF-16, little end first", [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes(whole)]), ("UTF-16, big end first", [.. Encoding.BigEndianUnicode.GetPreamble(), .. Encoding.BigEndianUnicode.GetBytes(whole)]), ("UTF-32", [.. Encoding.UTF32.GetPreamble(), .. Encoding.UTF32.GetBytes(whole)]), ("Latin-1", Encoding.Latin1.GetBytes(head + "notes: Bühne\n" + tail)),
            ("a NUL", Utf8(head + "no\0tes: 1\n" + tail)), ("NULs alone", new byte[1000]), ("control characters", Utf8(head + "x\u001b[2J: 1\n" + tail)), ("overlong UTF-8", [.. Utf8(head), 0xC0, 0xAF, .. Utf8(tail)]), ("a surrogate alone", [.. Utf8(head), 0xED, 0xA0, 0x80, .. Utf8(tail)]), ("two marks of UTF-8", [.. Encoding.UTF8.GetPreamble(), .. Encoding.UTF8.GetPreamble(), .. Utf8(head + "x: 1\n")]),
            ("a key twice", Utf8(whole + whole)), ("another schema", Utf8(whole.Replace("/1\n", "/2\n", StringComparison.Ordinal))), ("a schema of someone else", Utf8("schema: else/1\n" + tail)), ("no schema", Utf8(tail)), ("schema as a list", Utf8("schema: [a]\n" + tail)), ("an unknown key", Utf8(whole + "colour: red\n")),
            ("a key with an escape sequence", Utf8(whole + "\"\\e]0;owned\\a\": 1\n")), ("a key written backwards", Utf8(whole + "\u202Esenikciart: 1\n")), ("a key with line ends", Utf8(whole + "\"a\\nb\\rc\": 1\n")),
            ("an object tag", Utf8(head + "x: !!python/object/apply:os.system [id]\n" + tail)), ("a binary tag", Utf8(head + "x: !!binary aGk=\n" + tail)), ("a directive", Utf8("%YAML 9.9\n---\n" + whole)), ("a tag directive", Utf8("%TAG ! tag:x,2000:\n---\n" + head + "x: !y z\n" + tail)), ("two documents", Utf8(whole + "---\n" + whole)),
            ("tabs", Utf8(head + "\tx: 1\n")), ("an open quotation mark", Utf8(head + "x: \"abc\n" + tail)), ("an open bracket", Utf8(head + "x: [1, 2\n")), ("a comment alone", Utf8("# nothing\n")), ("nothing", []), ("null", Utf8("~\n")), ("a number", Utf8("42\n")), ("a list", Utf8("- 1\n")), ("keys that are lists", Utf8(head + "? [a, b]\n: 1\n" + tail)), ("JSON", Utf8("{\"schema\": 1}")), ("rubbish", Rubbish(5)), ("more rubbish", Rubbish(6)),
        ];
    }

    private static byte[] Rubbish(int seed)
    {
        byte[] bytes = new byte[4000];
        new Random(seed).NextBytes(bytes);
        return bytes;
    }

    private static IEnumerable<(string, byte[])> Auditions
    {
        get
        {
            foreach (string path in new[]
            {
                "../../../../../../etc/passwd", "/etc/passwd", "/dev/zero", "/dev/urandom", "/dev/stdin", "/proc/self/environ", "/proc/self/fd/0", "http://127.0.0.1:9/a.mp4", "file:///etc/passwd", "concat:secret.mp4|secret.mp4", "subfile,,start,0,end,9,,:secret.mp4", "pipe:0", "data:video/mp4;base64,AA", "\\\\\\\\server\\\\share\\\\a.mp4", "C:\\\\a.mp4",
                "", " ", ".", "..", "./", "a/", "~/a.mp4", "$HOME/a.mp4", "`id`.mp4", "$(id).mp4", "-i", "--json", "a\\0b.mp4", "a\\nb.mp4", "\\e[31m.mp4", "\\u202E4pm.a", "\\uD800.mp4", new string('x', 5000), string.Concat(Enumerable.Repeat("a/", 3000)) + "b.mp4", "*.mp4", "%s%s%n.mp4", "audition.yaml", "CON", "nul",
            })
            {
                yield return ($"clip \"{(path.Length > 60 ? path[..20] + "…" : path)}\"", Utf8(Head + $"fixtures:\n  - name: Wash A\n    takes:\n      - {{ clip: \"{path}\", shutter: 1/250, dimmer: 100% }}\n"));
                if (path.StartsWith('/') || path.StartsWith("..", StringComparison.Ordinal))
                {
                    yield return ($"policy \"{path}\"", Utf8(Head + $"policy: \"{path}\"\n" + Tail));
                    yield return ($"reference \"{path}\"", Utf8(Head + $"fixtures:\n  - name: Wash A\n    takes:\n      - {{ clip: secret.mp4, reference: \"{path}\", shutter: 1/250, dimmer: 100% }}\n"));
                }
            }
            foreach (string more in new[]
            {
                "dimmer: 1e308%", "dimmer: -1%", "dimmer: NaN", "dimmer: 101%", "dimmer: [100%]", "frame-rate: 0", "frame-rate: 1/0", "frame-rate: -25", "frame-rate: 1e9", "frame-rate: 99999999999999999999/1", "shutter: 0", "shutter: -1/50", "shutter: 1/0", "shutter: inf", "shutter: 720deg", "region: [0, 0, 0, 0]", "region: [-1, 0, 5, 5]",
                "region: [2147483647, 2147483647, 2147483647, 2147483647]", "region: [1, 2, 3]", "region: [1e9, 0, 1, 1]", "region: [99999999999, 0, 1, 1]", "region: all", "camera: none", "sweep: []", "sweep: [50%]", "sweep: [100%, 101%]", "sweep: 5", "transfer: log", "readout: 99s",
            })
            {
                yield return ($"a take with {more}", Utf8(Head + $"fixtures:\n  - name: Wash A\n    takes:\n      - {{ clip: secret.mp4, {(more.StartsWith("shutter", StringComparison.Ordinal) ? "" : "shutter: 1/250, ")}{(more.StartsWith("dimmer", StringComparison.Ordinal) || more.StartsWith("sweep", StringComparison.Ordinal) ? "" : "dimmer: 100%, ")}{more} }}\n"));
            }
            yield return ("a sweep of fifty thousand levels", Utf8(Head + $"fixtures:\n  - name: Wash A\n    takes:\n      - {{ clip: secret.mp4, shutter: 1/250, sweep: [{string.Join(", ", Enumerable.Range(0, 50_000).Select(n => n % 100 + "%"))}] }}\n"));
            yield return ("ten thousand fixtures of one name", Utf8(Head + "fixtures:\n" + string.Concat(Enumerable.Repeat("  - name: A\n    takes: [{ clip: secret.mp4, shutter: 1/250 }]\n", 10_000))));
            yield return ("ten thousand fixtures without clips", Utf8(Head + "fixtures:\n" + string.Concat(Enumerable.Range(0, 10_000).Select(n => $"  - name: A{n}\n    takes: [{{ clip: no{n}.mp4, shutter: 1/250 }}]\n"))));
            yield return ("ten thousand formats", Utf8(Head + "formats: [" + string.Join(", ", Enumerable.Range(1, 10_000).Select(n => "25@1/50")) + "]\n" + Tail));
            yield return ("a fixture without takes", Utf8(Head + "fixtures:\n  - name: A\n    takes: []\n"));
            yield return ("a fixture without a name", Utf8(Head + "fixtures:\n  - takes: [{ clip: secret.mp4, shutter: 1/250 }]\n"));
            // A price is free text, so "1e999 EUR" is one.
            yield return ("mains of 0 Hz", Utf8(Head + "mains: 0Hz\n" + Tail));
            yield return ("mains of a megahertz", Utf8(Head + "mains: 1e6Hz\n" + Tail));
        }
    }

    private static IEnumerable<(string, byte[])> Policies =>
        ((string[])["depth: { pass: 101% }", "depth: { pass: -1% }", "depth: { pass: 3%, fail: 1% }", "depth: { pass: NaN }", "depth: 5", "depth: []", "depth: { pass: 1e400 }", "depth: { pass: '1%', pas: 2% }"]).Select(more => (more, Utf8("schema: flickerprobe/policy/1\n" + more + "\n")));

    private static IEnumerable<(string, byte[])> Curves =>
    [
        ("nothing", []), ("no table", Utf8("hello\n")), ("a size of 10^9", Utf8("LUT_1D_SIZE 1000000000\n0 0 0\n")), ("a negative size", Utf8("LUT_1D_SIZE -5\n0 0 0\n")), ("a cube", Utf8("LUT_3D_SIZE 2\n0 0 0\n")), ("NaN", Utf8("LUT_1D_SIZE 2\nnan nan nan\n1 1 1\n")), ("infinity", Utf8("LUT_1D_SIZE 2\n0 0 0\n1e999 1 1\n")), ("falling", Utf8("LUT_1D_SIZE 3\n1 1 1\n0.5 0.5 0.5\n0 0 0\n")), ("too few rows", Utf8("LUT_1D_SIZE 9\n0 0 0\n1 1 1\n")), ("too many rows", Utf8("LUT_1D_SIZE 2\n" + string.Concat(Enumerable.Repeat("0 0 0\n", 500)))),
        ("one row", Utf8("LUT_1D_SIZE 1\n0 0 0\n")), ("flat", Utf8("LUT_1D_SIZE 2\n0.5 0.5 0.5\n0.5 0.5 0.5\n")), ("rubbish", Rubbish(7)), ("UTF-16", Encoding.Unicode.GetBytes("LUT_1D_SIZE 2\n0 0 0\n1 1 1\n")), ("a line of a megabyte", Utf8("LUT_1D_SIZE 2\n" + new string('1', 1_000_000) + "\n")), ("a domain of nothing", Utf8("LUT_1D_SIZE 2\nDOMAIN_MIN 0 0 0\nDOMAIN_MAX 0 0 0\n0 0 0\n1 1 1\n")), ("beyond 8 MiB", new byte[9 << 20]),
    ];

    private static IEnumerable<(string, byte[])> Results
    {
        get
        {
            const string head = "{\"schema\":\"flickerprobe/result/1\",\"tool\":{\"version\":\"1\"},";
            foreach ((string name, string text) in new[]
            {
                ("nothing", ""), ("null", "null"), ("a number", "1"), ("a list", "[]"), ("no schema", "{}"), ("schema null", "{\"schema\":null}"), ("schema 2", "{\"schema\":\"flickerprobe/result/2\"}"), ("schema 10^20", "{\"schema\":\"flickerprobe/result/100000000000000000000\"}"), ("schema −1", "{\"schema\":\"flickerprobe/result/-1\"}"), ("schema of lists", "{\"schema\":[\"flickerprobe/result/1\"]}"), ("broken off", head + "\"fixtures\":[{\"name\":\"A"),
                ("no fixtures", head[..^1] + "}"), ("fixtures null", head + "\"fixtures\":null}"), ("fixtures of nulls", head + "\"fixtures\":[null]}"), ("fixtures of numbers", head + "\"fixtures\":[1,2]}"), ("an empty fixture", head + "\"fixtures\":[{}]}"), ("no levels", head + "\"fixtures\":[{\"name\":\"A\",\"verdict\":\"pass\",\"reasons\":[]}]}"), ("levels null", head + "\"fixtures\":[{\"name\":\"A\",\"verdict\":\"pass\",\"reasons\":[],\"levels\":null}]}"), ("a verdict nobody knows", head + "\"fixtures\":[{\"name\":\"A\",\"verdict\":\"great\",\"reasons\":[],\"levels\":[]}]}"), ("verdict null", head + "\"fixtures\":[{\"name\":\"A\",\"verdict\":null,\"reasons\":[],\"levels\":[]}]}"),
                ("numbers out of range", head + "\"fixtures\":[{\"name\":\"A\",\"verdict\":\"pass\",\"reasons\":[],\"levels\":[{\"dimmer\":1e999,\"verdict\":\"pass\"}]}]}"), ("NaN", head + "\"fixtures\":[{\"name\":NaN}]}"), ("deep", head + "\"x\":" + new string('[', 100_000) + "}"), ("deep and closed", head + "\"x\":" + new string('[', 5000) + new string(']', 5000) + "}"), ("a key twice", head + "\"schema\":\"flickerprobe/result/1\",\"fixtures\":[]}"), ("comments", "/* x */" + head + "\"fixtures\":[1]}"), ("an escape sequence as name", "{\"\\u001b[2J\":1}"),
            })
            {
                yield return (name, Utf8(text));
            }
            yield return ("rubbish", Rubbish(8));
            yield return ("UTF-16", [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes("[]")]);
            yield return ("64 MiB of blanks", [.. Enumerable.Repeat((byte)' ', 64 << 20)]);
        }
    }
}
