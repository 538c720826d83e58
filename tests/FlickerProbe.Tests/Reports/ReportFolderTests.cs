using System.Text;
using System.Text.RegularExpressions;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Tests.Plots;
using Xunit;

namespace FlickerProbe.Tests.Reports;

public sealed partial class ReportFolderTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("flickerprobe-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void The_folder_holds_result_page_print_table_and_pictures_and_nothing_half_written()
    {
        string folder = Pictures.Folder is { } kept ? Path.Combine(kept, "single") : Path.Combine(_folder, "out");
        ReportWriter.Write(SampleDocuments.SingleClip(), folder, new ReportOptions());
        string[] names = Directory.EnumerateFiles(folder).Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal).ToArray();
        Assert.Equal(["beats.csv", "report.html", "report.pdf", "result.json", "takes.csv"], names);
        string[] pictures = Directory.EnumerateFiles(Path.Combine(folder, "pictures")).Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal).ToArray();
        Assert.Equal(["001-wall-frame.png", "002-wall-bands.png", "003-wall-waveform.png", "004-wall-spectrum.png", "005-wall-level.png"], pictures);
        Assert.Equal(ResultJson.Write(SampleDocuments.SingleClip()), File.ReadAllText(Path.Combine(folder, "result.json")));
    }

    [Fact]
    public void Pictures_of_an_earlier_run_go_and_other_files_stay()
    {
        string pictures = Path.Combine(_folder, "pictures");
        Directory.CreateDirectory(pictures);
        File.WriteAllText(Path.Combine(pictures, "009-old-dimming.png"), "old");
        File.WriteAllText(Path.Combine(pictures, "my-own.png"), "mine");
        ReportWriter.Write(SampleDocuments.SingleClip(), _folder, new ReportOptions(Pdf: false));
        Assert.False(File.Exists(Path.Combine(pictures, "009-old-dimming.png")));
        Assert.True(File.Exists(Path.Combine(pictures, "my-own.png")));
    }

    [Fact]
    public void Cancelling_leaves_only_whole_files()
    {
        using CancellationTokenSource stopped = new();
        stopped.Cancel();
        Assert.ThrowsAny<OperationCanceledException>(() => ReportWriter.Write(SampleDocuments.SingleClip(), _folder, new ReportOptions(), stopped.Token));
        Assert.DoesNotContain(Directory.EnumerateFiles(_folder), path => path.EndsWith(".part", StringComparison.Ordinal));
        Assert.False(File.Exists(Path.Combine(_folder, "report.pdf")));
    }

    [Fact]
    public void The_page_of_an_audition_starts_with_the_decision_and_asks_the_network_for_nothing()
    {
        string page = Page("audition", SampleDocuments.Audition());
        int decision = page.IndexOf("Decision sheet", StringComparison.Ordinal), evidence = page.IndexOf("id=\"evidence\"", StringComparison.Ordinal);
        Assert.InRange(decision, 1, evidence);
        // The declared order: pass, then watch, then fail by price.
        int[] order = new[] { "Wash A", "Cyc D", "Wash B", "Profile C" }.Select(name => page.IndexOf($"Fixture\">{name}<", StringComparison.Ordinal)).ToArray();
        Assert.All(order, place => Assert.True(place > 0));
        Assert.Equal(order.Order(), order);
        foreach (string section in new[] { "evidence", "room", "method", "limits", "cautions", "provenance" }) Assert.Contains($"id=\"{section}\"", page, StringComparison.Ordinal);

        string withoutNames = page.Replace("http://www.w3.org/2000/svg", "", StringComparison.Ordinal).Replace("http://www.w3.org/1999/xlink", "", StringComparison.Ordinal);
        Assert.DoesNotMatch("(?i)(src|href)=\"(?!data:image/png;base64,|#)", withoutNames);
        Assert.DoesNotMatch("(?i)https?:|url\\((?!#)|@import|<script", withoutNames);
        Assert.Contains("default-src 'none'", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Plots_in_one_page_do_not_share_names()
    {
        string[] names = Identifier().Matches(Page("audition", SampleDocuments.Audition())).Select(match => match.Groups[1].Value).ToArray();
        Assert.True(names.Length > 50);
        Assert.Equal(names.Length, names.Distinct().Count());
    }

    [Fact]
    public void Hostile_names_stay_text()
    {
        string page = Page("hostile", SampleDocuments.HostileNames());
        Assert.DoesNotMatch("(?i)<script|<img src=x|onerror=alert\\(1\\)>|</title><b>", page);
        Assert.Contains("&lt;script&gt;alert", page, StringComparison.Ordinal);
        // Nothing that turns the writing direction or moves the terminal's cursor is left.
        Assert.DoesNotContain(page, c => c is '\u202E' or '\u2066' or '\u001b' or '\u0007' or '\0');
        Assert.DoesNotMatch("(?i)&#x(202e|2066|1b|7);", page);
        // The template-like name is not worked out.
        Assert.Contains("{{ 7 | times: 7 }}", page, StringComparison.Ordinal);
    }

    [Fact]
    public void A_verdict_is_never_colour_alone()
    {
        string page = Page("audition", SampleDocuments.Audition());
        foreach (Match cell in VerdictCell().Matches(page))
        {
            Assert.Contains("<svg", cell.Value, StringComparison.Ordinal);
            Assert.Matches("(Pass|Watch|Fail)</td>$", cell.Value);
        }
        Assert.True(VerdictCell().Count(page) > 8);
    }

    [Fact]
    public void The_page_does_not_follow_the_computers_language()
    {
        string invariant = HtmlReport.Write("t", ReportContent.Build(SampleDocuments.SingleClip()));
        using CultureScope german = new("de-DE");
        Assert.Equal(invariant, HtmlReport.Write("t", ReportContent.Build(SampleDocuments.SingleClip())));
    }

    [Fact]
    public void A_result_read_from_its_file_makes_a_report_without_the_pictures_data()
    {
        ResultDocument read = ResultJson.Read(ResultJson.Write(SampleDocuments.Audition()), "result.json");
        string page = HtmlReport.Write("t", ReportContent.Build(read));
        Assert.Contains("Light over one period", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Bands as recorded", page, StringComparison.Ordinal);
    }

    [Fact]
    public void The_least_result_makes_a_report()
    {
        ResultDocument least = ResultJson.ReadFile(Path.Combine(AppContext.BaseDirectory, "Approved", "result-1-least.json"));
        string page = HtmlReport.Write(ReportContent.Title(least), ReportContent.Build(least));
        Assert.Contains("The readout time is not known.", page, StringComparison.Ordinal);
        Assert.Contains("not a pass", page, StringComparison.Ordinal);
    }

    [Fact]
    public void A_flash_hazard_stands_on_the_first_screen()
    {
        ResultDocument sample = SampleDocuments.SingleClip();
        FixtureResult fixture = sample.Fixtures[0];
        ResultDocument hazard = sample with { Fixtures = [fixture with { Reasons = [.. fixture.Reasons, new ReasonResult("viewer-flash-hazard", "The picture pulses 9 times a second.")] }] };
        string page = HtmlReport.Write("t", ReportContent.Build(hazard));
        Assert.InRange(page.IndexOf("wall: The picture pulses 9 times a second.", StringComparison.Ordinal), 1, page.IndexOf("class=\"answer", StringComparison.Ordinal));
    }

    private string Page(string name, ResultDocument document)
    {
        string path = Path.Combine(Pictures.Folder ?? _folder, name, "report.html");
        ReportWriter.WriteHtml(document, path);
        return File.ReadAllText(path, Encoding.UTF8);
    }

    [GeneratedRegex(" id=\"([^\"]+)\"")]
    private static partial Regex Identifier();

    [GeneratedRegex("<td [^>]*class=\"verdict.*?</td>")]
    private static partial Regex VerdictCell();
}
