using FlickerProbe.Camera;
using FlickerProbe.Files.Yaml;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Auditions;

/// <summary>Reads an audition file strictly: whatever is not understood is named with file, line and the nearest known word.</summary>
public static class AuditionReader
{
    /// <summary>Reads a file.</summary>
    /// <exception cref="InputException">The file can't be read or says something that can't be meant.</exception>
    public static Audition ReadFile(string path) => Read(YamlReader.ReadFile(path), Path.GetFullPath(path));

    /// <summary>Reads text as if it stood in the file at <paramref name="path"/>.</summary>
    /// <exception cref="InputException">The text says something that can't be meant.</exception>
    public static Audition Parse(string text, string path) => Read(YamlReader.Parse(text, path), Path.GetFullPath(path));

    private static Audition Read(YamlMap top, string fullPath)
    {
        top.Only("an audition file", AuditionKeys.Top);
        YamlScalar schema = top.Required("schema", "An audition file").AsScalar("'schema'");
        if (schema.Text != Audition.SchemaName)
            throw schema.Problem($"'{schema.Text}' is not a schema this version reads: write 'schema: {Audition.SchemaName}', or use a newer version.");

        var remarks = new List<Finding>();
        var paths = new AuditionPaths(Path.GetDirectoryName(fullPath) ?? ".", remarks);
        List<AuditionCamera> cameras = ReadCameras(top.Map("cameras"));
        List<AuditionFixture> fixtures = [];
        foreach (YamlItem item in top.Required("fixtures", "An audition file").AsSequence("'fixtures'").Items)
        {
            AuditionFixture fixture = AuditionFixtureReader.Read(item.AsMap("A fixture"), cameras, paths);
            if (fixtures.Any(f => string.Equals(f.Name, fixture.Name, StringComparison.OrdinalIgnoreCase)))
                throw item.Problem($"The fixture '{fixture.Name}' is here twice: put all its takes under one, or give the second another name.");
            fixtures.Add(fixture);
        }
        if (fixtures.Count == 0) throw top.Problem("'fixtures' is empty: an audition needs at least one fixture with takes.");

        YamlScalar? policy = top.Find("policy")?.AsScalar("'policy'");
        return new Audition(
            fullPath, top.Text("title"), ReadMains(top), top.Text("tested-by"), top.Text("tested-on"),
            policy is null ? null : paths.Full(policy, "policy"), top.Text("notes"), ReadFormats(top.Sequence("formats"), cameras), cameras, fixtures, remarks);
    }

    private static double? ReadMains(YamlMap top)
    {
        if (top.Find("mains")?.AsScalar("'mains'") is not { } mains) return null;
        // 16.7 Hz is a railway's, 400 Hz an aircraft's: the widest that light is run from.
        return Parsing.Hertz(mains.Text) is { } hertz and >= 15 and <= 450
            ? hertz
            : throw mains.Problem($"'{mains.Text}' is not a mains frequency: write 50Hz or 60Hz.");
    }

    private static List<AuditionCamera> ReadCameras(YamlMap? block)
    {
        var cameras = new List<AuditionCamera>();
        foreach (YamlMapEntry entry in block?.Entries ?? [])
        {
            // "hall:" with nothing after it is a camera of which nothing is known.
            if (entry.Value is YamlScalar { IsEmpty: true })
            {
                cameras.Add(new AuditionCamera(entry.Key.Text, null, null, null));
                continue;
            }
            YamlMap map = entry.Value.AsMap($"The camera '{entry.Key.Text}'");
            map.Only("a camera", AuditionKeys.Camera);
            string? readout = map.Text("readout");
            cameras.Add(new AuditionCamera(
                entry.Key.Text, readout is "unknown" ? null : map.Parsed("readout", ReadoutTime.Parse), map.Text("transfer"), map.Text("notes")));
        }
        return cameras;
    }

    private static List<CameraFormat> ReadFormats(YamlSequence? list, List<AuditionCamera> cameras)
    {
        var formats = new List<CameraFormat>();
        foreach (YamlItem item in list?.Items ?? [])
        {
            CameraFormat format = item is YamlScalar scalar ? scalar.Parsed(CameraFormat.Parse) : ReadFormat(item.AsMap("A format"), cameras);
            if (formats.Contains(format)) throw item.Problem($"The format {format.ToShortText()} is here twice: keep one of them.");
            formats.Add(format);
        }
        return formats;
    }

    private static CameraFormat ReadFormat(YamlMap map, List<AuditionCamera> cameras)
    {
        map.Only("a format", AuditionKeys.Format);
        YamlScalar rateItem = map.Required("frame-rate", "A format").AsScalar("'frame-rate'");
        FrameRate rate = rateItem.Parsed(FrameRate.Parse);
        ExposureTime exposure = map.Required("shutter", "A format").AsScalar("'shutter'").Parsed(text => ExposureTime.Parse(text, rate));
        AuditionCamera? camera = AuditionFixtureReader.FindCamera(map, cameras);
        return new CameraFormat(rate, exposure, map.Parsed("readout", ReadoutTime.Parse) ?? camera?.Readout, camera?.Name);
    }
}
