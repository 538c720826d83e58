using System.Reflection;

namespace FlickerProbe.Files.Results;

/// <summary>The JSON Schemas (draft 2020-12) of the files that flickerprobe reads and writes, as shipped with the program.</summary>
public static class PublishedSchemas
{
    /// <summary>Schema of <c>result.json</c>, <c>flickerprobe/result/1</c>.</summary>
    public static string Result => Read("result-1.schema.json");

    /// <summary>Schema of the audition file, <c>flickerprobe/audition/1</c>; editors use it for YAML too.</summary>
    public static string Audition => Read("audition-1.schema.json");

    private static string Read(string file)
    {
        using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream("FlickerProbe.Files.Results.Schemas." + file)
            ?? throw new InvalidOperationException($"The program was built without its schema {file}.");
        using StreamReader reader = new(stream);
        return reader.ReadToEnd();
    }
}
