using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace FlickerProbe.Cli.Terminal;

/// <summary>The usual help, followed by the command's examples.</summary>
internal sealed class HelpWithExamples(HelpAction usual) : SynchronousCommandLineAction
{
    /// <summary>Widest line of the help, columns; the same in a terminal and in a file, so that the approved text holds.</summary>
    private const int Width = 100;

    /// <inheritdoc/>
    public override bool ClearsParseErrors => true;

    /// <inheritdoc/>
    public override int Invoke(ParseResult parseResult)
    {
        usual.MaxWidth = Width;
        int status = usual.Invoke(parseResult);
        TextWriter output = parseResult.InvocationConfiguration.Output;
        if (parseResult.CommandResult.Command is IHasExamples { Examples: { Count: > 0 } examples })
        {
            output.WriteLine("Examples:");
            foreach ((string call, string meaning) in examples)
            {
                output.WriteLine("  " + call);
                output.WriteLine("      " + meaning);
            }
            output.WriteLine();
        }
        return status;
    }
}

/// <summary>A command that shows examples in its help.</summary>
internal interface IHasExamples
{
    /// <summary>Calls as typed, each with what it does.</summary>
    IReadOnlyList<(string Call, string Meaning)> Examples { get; }
}
