namespace FlickerProbe.Cli.Terminal;

/// <summary>Where the program writes: results to one side, everything else to the other. Tests hand in their own.</summary>
/// <param name="Output">Results for people.</param>
/// <param name="Error">Progress, remarks and refusals.</param>
/// <param name="OpenRawOutput">Opens standard output for bytes, for a result that a program reads.</param>
/// <param name="ErrorIsTerminal">Whether a person watches <paramref name="Error"/>, so that moving bars make sense.</param>
/// <param name="InputIsTerminal">Whether a person can answer questions.</param>
/// <param name="Input">Answers to questions.</param>
public sealed record Streams(
    TextWriter Output, TextWriter Error, Func<Stream> OpenRawOutput, bool ErrorIsTerminal, bool InputIsTerminal, TextReader Input)
{
    /// <summary>The process's own streams.</summary>
    public static Streams OfThisProcess() => new(
        Console.Out,
        Console.Error,
        Console.OpenStandardOutput,
        !Console.IsErrorRedirected && Environment.GetEnvironmentVariable("TERM") != "dumb",
        !Console.IsInputRedirected,
        Console.In);
}
