using System.CommandLine;
using FlickerProbe.Cli.Terminal;

namespace FlickerProbe.Cli.Commands;

/// <summary>Everything the program can do, in the order of the help.</summary>
internal static class AllCommands
{
    /// <summary>Makes the commands; none of them does anything yet.</summary>
    public static IEnumerable<Command> Create(Streams streams) =>
    [
        new MeasureCommand(streams),
        new RegionsCommand(streams),
        new CalibrateCommand(streams),
        new ForecastCommand(streams),
        new PlanCommand(streams),
        new TakeInCommand(streams),
        new AuditionCommand(streams),
        new CompareCommand(streams),
    ];
}
