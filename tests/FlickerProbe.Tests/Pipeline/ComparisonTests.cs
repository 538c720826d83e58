using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Results;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Pipeline;

public class ComparisonTests
{
    private static ResultDocument Result(string? title, string? policy, params string[] fixtures) => new()
    {
        Tool = new ToolInfo("0.1.0") { PolicySha256 = policy },
        Title = title,
        Fixtures = [.. fixtures.Select(name => new FixtureResult { Name = name, Verdict = "watch", Reasons = [], Levels = [] })],
    };

    [Fact]
    public void Fixtures_stand_side_by_side_and_a_shared_name_says_which_evening_it_is_from()
    {
        ResultDocument sheet = Comparison.Of([("a.json", Result("Spring", null, "Key", "Wash")), ("b.json", Result("Autumn", null, "Wash"))], TimeProvider.System);

        Assert.Equal(["Key", "Wash (Spring)", "Wash (Autumn)"], sheet.Fixtures.Select(f => f.Name));
        Assert.Equal("Spring, Autumn", sheet.Title);
    }

    [Fact]
    public void Verdicts_by_different_lines_are_not_compared()
    {
        InputException refusal = Assert.Throws<InputException>(() => Comparison.Of(
            [("a.json", Result("Spring", null, "Key")), ("b.json", Result("Autumn", new string('0', 64), "Wash"))], TimeProvider.System));

        Assert.Contains("different lines", refusal.Message, StringComparison.Ordinal);
    }
}
