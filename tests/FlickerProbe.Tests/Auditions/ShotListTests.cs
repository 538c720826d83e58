using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Reports;
using FlickerProbe.Planning;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Auditions;

public class ShotListTests
{
    [Fact]
    public void Every_take_every_instruction_and_every_caution_is_on_the_list()
    {
        ShotPlan plan = AuditionWriterTests.Plan(null, dark: false);
        string page = HtmlReport.Write(ShotList.Title(plan), ShotList.Build(plan));
        string text = System.Net.WebUtility.HtmlDecode(page).Replace('\u00A0', ' ');
        foreach (string needed in plan.SetUp.Concat(plan.Cautions).Concat(plan.Takes.Select(t => t.Purpose))) Assert.Contains(needed.Replace('\u00A0', ' '), text, StringComparison.Ordinal);
        Assert.Equal(plan.Takes.Count, text.Split('☐').Length - 1);
    }

    [Fact]
    public void The_files_are_written_and_an_evenings_work_is_not_overwritten()
    {
        using var folder = new AuditionFolder();
        string file = folder.File("audition.yaml");
        ShotPlan plan = AuditionWriterTests.Plan();
        PlanWriter.Write(plan, file, Paper.A4, false, null, default);
        Assert.All(PlanWriter.Files(file), f => Assert.True(new FileInfo(f).Length > 500, f));
        Assert.Contains("may hold an evening's work", Assert.Throws<InputException>(() => PlanWriter.Write(plan, file, Paper.A4, false, null, default)).Message, StringComparison.Ordinal);
        PlanWriter.Write(plan, file, Paper.Letter, true, null, default);
        Assert.Equal(2, AuditionReader.ReadFile(file).Fixtures.Count);
    }
}
