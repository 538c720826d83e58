using System.Globalization;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Units;

namespace FlickerProbe.Cli;

/// <summary>The one place where a problem becomes an exit status and a sentence.</summary>
internal static class Refusals
{
    /// <summary>Set to anything, this environment variable adds the stack trace of an internal fault.</summary>
    public const string TraceVariable = "FLICKERPROBE_TRACE";

    /// <summary>What to say of a problem and how to end.</summary>
    public static (int Status, string Sentence) Of(Exception problem) => problem switch
    {
        AggregateException { InnerExceptions: [Exception only] } => Of(only),
        OperationCanceledException => (ExitStatus.Interrupted, "Interrupted; nothing was left half-written."),
        InputException => (ExitStatus.CallIsWrong, problem.Message),
        ClipException => (ExitStatus.NothingMeasurable, problem.Message),
        ProgramMissingException => (ExitStatus.ProgramMissing, problem.Message),
        IOException or UnauthorizedAccessException =>
            (ExitStatus.NothingMeasurable, $"A file could not be read ({problem.Message.TrimEnd('.')}): check that it is there and that you may read it."),
        _ => (ExitStatus.InternalFault, Fault(problem)),
    };

    private static string Fault(Exception problem)
    {
        string sentence = string.Create(CultureInfo.InvariantCulture,
            $"flickerprobe itself failed ({problem.GetType().Name}: {problem.Message.TrimEnd('.')}): please report this with the call you made.");
        return Environment.GetEnvironmentVariable(TraceVariable) is null ? sentence : sentence + Environment.NewLine + problem;
    }
}
