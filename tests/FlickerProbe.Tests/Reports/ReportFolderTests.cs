using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Tests.Plots;
using Xunit;

namespace FlickerProbe.Tests.Reports;

public sealed class ReportFolderTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("flickerprobe-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    public static TheoryData<string> Samples => ["single", "audition", "hostile"];

    [Theory]
    [MemberData(nameof(Samples))]
    public void Keeps_the_pages_to_look_at(string which)
    {
        ResultDocument document = which switch { "single" => SampleDocuments.SingleClip(), "audition" => SampleDocuments.Audition(), _ => SampleDocuments.HostileNames() };
        string folder = Pictures.Folder is { } kept ? Path.Combine(kept, which) : Path.Combine(_folder, which);
        ReportWriter.Write(document, folder, new ReportOptions(Pdf: Environment.GetEnvironmentVariable("NOPDF") is null), TestContext);
        Assert.True(File.Exists(Path.Combine(folder, "report.html")));
    }

    private static CancellationToken TestContext => CancellationToken.None;
}
