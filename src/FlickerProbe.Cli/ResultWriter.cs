using System.Text;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;

namespace FlickerProbe.Cli;

/// <summary>Hands out a result: files first, then the screen, then the exit status.</summary>
internal static class ResultWriter
{
    /// <summary>Writes the result where it was asked for.</summary>
    /// <param name="result">The result.</param>
    /// <param name="outputs">Where it was asked for.</param>
    /// <param name="streams">The screen.</param>
    /// <param name="cancellation">Ends the work; files already written are whole.</param>
    /// <param name="pictures">Where finished pictures are kept between runs; null to draw all anew.</param>
    /// <returns>The exit status that the verdict means.</returns>
    public static int Write(ResultDocument result, Outputs outputs, Streams streams, CancellationToken cancellation, IPictureStore? pictures = null)
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
            streams.Output.WriteLine(SafeText.Lines(TextSummary.Write(result)).TrimEnd());
        }
        if (outputs.ReportFolder is { } folder)
        {
            ReportWriter.Write(result, folder, new ReportOptions(outputs.Paper, Store: pictures), cancellation);
            // With JSON on standard output nothing else may go there.
            (outputs.JsonToStandardOutput ? streams.Error : streams.Output).WriteLine(SafeText.Line("Report: " + Path.Combine(folder, "report.html")));
        }
        return outputs.FailOn is { } line && result.Fixtures.Any(f => IsAtLeast(f.Verdict, line)) ? ExitStatus.VerdictTooBad : ExitStatus.Done;
    }

    private static bool IsAtLeast(string verdict, Verdict.Ruling line) =>
        verdict == "fail" || (verdict == "watch" && line == Verdict.Ruling.Watch);
}
