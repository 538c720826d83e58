using System.Reflection;

namespace FlickerProbe.Files.Pipeline;

/// <summary>The version that results carry.</summary>
public static class ProgramVersion
{
    /// <summary>Such as <c>0.1.0</c>.</summary>
    public static string Text { get; } =
        (typeof(ProgramVersion).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "unknown").Split('+')[0];
}
