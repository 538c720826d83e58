using Xunit;

namespace FlickerProbe.Tests.Reports;

/// <summary>Compares text that people read with the approved copy in <c>Approved/</c>; with FLICKERPROBE_APPROVE=1 it writes the new text there to be looked at and committed.</summary>
internal static class Approved
{
    public static void Equal(string file, string text)
    {
        if (Environment.GetEnvironmentVariable("FLICKERPROBE_APPROVE") == "1")
            File.WriteAllText(Path.Combine(SourceFolder(), file), text);
        string path = Path.Combine(AppContext.BaseDirectory, "Approved", file);
        string approved = Environment.GetEnvironmentVariable("FLICKERPROBE_APPROVE") == "1" ? text : File.ReadAllText(path);
        Assert.Equal(approved, text);
    }

    // The folder of the sources, from the one that the tests run in.
    private static string SourceFolder()
    {
        string? folder = AppContext.BaseDirectory;
        while (folder is not null && !File.Exists(Path.Combine(folder, "FlickerProbe.Tests.csproj"))) folder = Path.GetDirectoryName(folder);
        return Path.Combine(folder ?? throw new InvalidOperationException("The tests don't run inside the source tree."), "Approved");
    }
}
