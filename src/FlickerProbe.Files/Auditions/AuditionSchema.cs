using System.Reflection;
using System.Text;

namespace FlickerProbe.Files.Auditions;

/// <summary>The JSON Schema of the audition file, for editors and for tests.</summary>
public static class AuditionSchema
{
    /// <summary>The schema's text.</summary>
    public static string Text()
    {
        const string name = "FlickerProbe.Files.Auditions.Schemas.audition-1.schema.json";
        using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream(name) ?? throw new InvalidOperationException($"The resource {name} is missing.");
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }
}
