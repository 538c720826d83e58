using System.Text;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Cli;

/// <summary>Hands out a result: files first, then the screen, then the exit status.</summary>
internal static class ResultWriter
{
    /// <summary>Writes the result where it was asked for.</summary>
    /// <returns>The exit status that the verdict means.</returns>
    public static int Write(ResultDocument result, Outputs outputs, Streams streams)
    {
        string json = ResultJson.Write(result);
        if (outputs.JsonFile is { } file) AtomicFile.Write(file, json);
        if (outputs.JsonToStandardOutput)
        {
            // Bytes, not text: the console's own encoding must not touch what a program reads.
            using Stream output = streams.OpenRawOutput();
            output.Write(Encoding.UTF8.GetBytes(json));
        }
        else
        {
            streams.Output.Write(json);
        }
        return outputs.FailOn is { } line && result.Fixtures.Any(f => IsAtLeast(f.Verdict, line)) ? ExitStatus.VerdictTooBad : ExitStatus.Done;
    }

    private static bool IsAtLeast(string verdict, Verdict.Ruling line) =>
        verdict == "fail" || (verdict == "watch" && line == Verdict.Ruling.Watch);
}
