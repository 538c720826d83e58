using System.Text;
using FlickerProbe.Cli;
using FlickerProbe.Cli.Terminal;

namespace FlickerProbe.Tests.Cli;

/// <summary>One call of the program inside the test's own process.</summary>
internal sealed record CliRun(int Status, string Output, string Error, byte[] RawOutput)
{
    /// <summary>Makes the call as a shell would, without the shell.</summary>
    public static async Task<CliRun> OfAsync(IReadOnlyList<string> arguments, string answers = "", CancellationToken cancellation = default)
    {
        var output = new StringWriter();
        var error = new StringWriter();
        var raw = new MemoryStream();
        var streams = new Streams(output, TextWriter.Synchronized(error), () => raw, ErrorIsTerminal: false, InputIsTerminal: false, new StringReader(answers));
        int status = await new Application(streams).RunAsync(arguments, cancellation);
        return new CliRun(status, output.ToString(), error.ToString(), raw.ToArray());
    }

    /// <summary>Makes the call.</summary>
    public static Task<CliRun> OfAsync(params string[] arguments) => OfAsync(arguments, "", CancellationToken.None);

    /// <summary>Standard output as text, whether it was written as text or as bytes.</summary>
    public string AllOutput => Output + Encoding.UTF8.GetString(RawOutput);

    /// <summary>The last line on standard error: a refusal is one line, after whatever progress was shown.</summary>
    public string Refusal => Error.TrimEnd().Split('\n')[^1].TrimEnd('\r');
}
