using FlickerProbe.Robustness;

namespace FlickerProbe.Tests.Robustness;

/// <summary>The report of changes made on purpose says of every part of the science what is known, and of what it isn't.</summary>
public sealed class MutationReportTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory().FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_folder_tried_anew_has_a_new_row_the_others_keep_theirs_and_the_rest_is_named()
    {
        foreach (string part in new[] { "Anew", "Kept", "Never" })
        {
            Directory.CreateDirectory(Path.Combine(_folder, "science", part));
            File.WriteAllText(Path.Combine(_folder, "science", part, "One.cs"), "a\nb\n");
        }
        string Mutant(string status, int line) => $$"""{ "status": "{{status}}", "mutatorName": "Equality mutation", "location": { "start": { "line": {{line}} } } }""";
        Directory.CreateDirectory(Path.Combine(_folder, "runs"));
        string run = Path.Combine(_folder, "runs", "mutation-report.json");
        File.WriteAllText(run, $$"""
            { "files": {
              "x/FlickerProbe/Anew/One.cs": { "mutants": [ {{Mutant("Killed", 1)}}, {{Mutant("Timeout", 1)}}, {{Mutant("Survived", 7)}}, {{Mutant("NoCoverage", 9)}}, {{Mutant("CompileError", 2)}} ] },
              "x/FlickerProbe/Kept/One.cs": { "mutants": [ {{Mutant("Ignored", 1)}} ] } } }
            """);
        File.SetLastWriteTimeUtc(run, new DateTime(2026, 5, 4, 12, 0, 0, DateTimeKind.Utc));
        string report = Path.Combine(_folder, "report.md");
        File.WriteAllLines(report, ["| Anew | 9 | 9 | 0 | 0 | 100.0 % | 2026-01-01 |", "| Kept | 8 | 7 | 1 | 0 | 87.5 % | 2026-01-02 |", "- **Anew/Old.cs**: line 1", "- **Kept/One.cs**: line 3"]);

        var command = MutationCommand.Create();
        Assert.Equal(0, command.Parse([Path.Combine(_folder, "runs"), "--report", report, "--science", Path.Combine(_folder, "science")]).Invoke());

        string[] lines = File.ReadAllLines(report);
        Assert.Equal(["| Anew | 4 | 2 | 1 | 1 | 50.0 % | 2026-05-04 |", "| Kept | 8 | 7 | 1 | 0 | 87.5 % | 2026-01-02 |"], lines.Where(l => l.StartsWith("| Anew", StringComparison.Ordinal) || l.StartsWith("| Kept", StringComparison.Ordinal)));
        Assert.Contains("Not tried, as their tests take seconds each: Never (2 lines).", lines);
        Assert.Equal(["- **Anew/One.cs**: line 7 equality mutation; line 9 equality mutation (not reached)", "- **Kept/One.cs**: line 3"], lines.Where(l => l.StartsWith("- **", StringComparison.Ordinal)));
    }
}
