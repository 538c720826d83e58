using Xunit;

namespace FlickerProbe.Tests.Support;

/// <summary>Compares text that people read with the text that was approved.</summary>
internal static class Approved
{
    /// <summary>Set to anything, new text is written into the source tree instead of failing; the review of that change is the approval.</summary>
    public const string WriteVariable = "FLICKERPROBE_APPROVE";

    /// <summary>The text must be that of <c>Approved/{name}.txt</c>.</summary>
    public static void Check(string name, string text)
    {
        string found = text.ReplaceLineEndings("\n");
        string source = Path.Combine(SourceFolder(), name + ".txt");
        if (Environment.GetEnvironmentVariable(WriteVariable) is not null)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(source)!);
            File.WriteAllText(source, found);
            return;
        }
        string approved = Path.Combine(AppContext.BaseDirectory, "Approved", name + ".txt");
        Assert.True(File.Exists(approved), $"No approved text '{name}.txt' yet: run the tests once with {WriteVariable}=1 and review what they write.");
        Assert.Equal(File.ReadAllText(approved).ReplaceLineEndings("\n"), found);
    }

    // Deterministic builds replace source paths, so walk up from the program instead.
    private static string SourceFolder()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "FlickerProbe.Tests.csproj"))) return Path.Combine(folder.FullName, "Approved");
        }
        throw new InvalidOperationException("The tests do not run from their source tree.");
    }
}
