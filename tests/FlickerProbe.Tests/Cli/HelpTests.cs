using System.CommandLine;
using System.CommandLine.Parsing;
using FlickerProbe.Cli;
using FlickerProbe.Cli.Commands;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Tests.Support;
using Xunit;

namespace FlickerProbe.Tests.Cli;

public class HelpTests
{
    public static TheoryData<string> CommandNames => [.. AllCommands.Create(NoStreams).Select(c => c.Name)];

    private static Streams NoStreams => new(TextWriter.Null, TextWriter.Null, () => Stream.Null, false, false, TextReader.Null);

    [Fact]
    public async Task The_help_of_the_program_is_the_approved_text()
    {
        CliRun run = await CliRun.OfAsync("--help");

        Assert.Equal(ExitStatus.Done, run.Status);
        Assert.Empty(run.Error);
        Approved.Check("help", run.Output);
    }

    [Theory]
    [MemberData(nameof(CommandNames))]
    public async Task The_help_of_each_command_is_the_approved_text(string command)
    {
        CliRun run = await CliRun.OfAsync(command, "--help");

        Assert.Equal(ExitStatus.Done, run.Status);
        Assert.Empty(run.Error);
        Approved.Check("help-" + command, run.Output);
    }

    [Theory]
    [MemberData(nameof(CommandNames))]
    public void Every_command_shows_examples_that_parse(string name)
    {
        Command command = AllCommands.Create(NoStreams).Single(c => c.Name == name);

        IReadOnlyList<(string Call, string Meaning)> examples = Assert.IsAssignableFrom<IHasExamples>(command).Examples;
        Assert.NotEmpty(examples);
        Assert.All(examples, example =>
        {
            string[] words = [.. CommandLineParser.SplitCommandLine(example.Call)];
            Assert.Equal(["flickerprobe", name], words[..2]);
            Assert.Empty(command.Parse(words[2..]).Errors);
        });
    }

    [Fact]
    public async Task The_version_is_a_number_alone()
    {
        CliRun run = await CliRun.OfAsync("--version");

        Assert.Equal(ExitStatus.Done, run.Status);
        Assert.Matches(@"^\d+\.\d+\.\d+\s*$", run.Output);
    }
}
