using System.Globalization;
using System.Text;
using FlickerProbe.Cli;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Results;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation;

/// <summary>The program as a person would call it, only without a process of its own.</summary>
internal static class ProgramCall
{
    /// <summary>Runs a command that writes its result to standard output: the result, or the sentence with which it was refused.</summary>
    public static (ResultDocument? Document, string? Refusal) Run(IReadOnlyList<string> arguments, CancellationToken cancel = default)
    {
        using MemoryStream result = new();
        using StringWriter output = new(), error = new();
        Streams streams = new(output, error, () => new Unclosing(result), ErrorIsTerminal: false, InputIsTerminal: false, TextReader.Null);
        int status = new Application(streams).RunAsync(arguments, cancel).GetAwaiter().GetResult();
        return status == 0
            ? (ResultJson.Read(Encoding.UTF8.GetString(result.ToArray()), arguments[1], strict: true), null)
            : (null, $"status {status}: {LastLine(error.ToString())}");
    }

    /// <summary>The command line with which a person would have a case measured.</summary>
    public static List<string> Arguments(ValidationCase c, string clip, string? reference, string? cube)
    {
        var (x, y, width, height) = c.DisplayedRegion;
        List<string> call = ["measure", clip, "--region", FormattableString.Invariant($"{x},{y},{width},{height}"), "--json", "-"];
        if (c.StatedExposureSeconds is { } exposure) call.AddRange(["--shutter", Seconds(exposure)]);
        string? readout = c.StatedReadoutSeconds is { } r ? Readout(r) : null;
        if (readout is not null) call.AddRange(["--readout", readout]);
        if (c.StatedRate is { } rate) call.AddRange(["--frame-rate", rate.ToString()]);
        if (reference is not null) call.AddRange(["--reference", reference]);
        if (cube is not null) call.AddRange(["--cube", cube]);
        if (c.StatedExposureSeconds is { } own)
        {
            string at = readout is null ? "" : "@" + readout;
            call.AddRange(["--format", $"{c.Recipe.FrameRate}@{Seconds(own)}{at}", "--format", $"{c.OtherFormat.Rate}@{Seconds(c.OtherFormat.ExposureSeconds)}{at}"]);
        }
        return call;
    }

    /// <summary>The audition file with which a person would have an evening judged; each take's clip by its name.</summary>
    public static string AuditionFile(EveningCase evening, IReadOnlyList<string> clips)
    {
        StringBuilder text = new("schema: flickerprobe/audition/1\nformats:\n");
        foreach ((FrameRate rate, double exposure, _) in evening.Formats)
            text.Append(CultureInfo.InvariantCulture, $"  - {{ camera: hall, frame-rate: {rate}, shutter: {Seconds(exposure)} }}\n");
        text.Append(CultureInfo.InvariantCulture, $"cameras: {{ hall: {{ {(evening.StatedReadoutSeconds is { } r ? "readout: " + Readout(r) : "")} }} }}\nfixtures:\n  - name: Lamp\n    takes:\n");
        foreach ((ValidationCase take, string clip) in evening.Takes.Zip(clips))
        {
            var (x, y, width, height) = take.DisplayedRegion;
            string shutter = take.StatedExposureSeconds is { } exposure ? Seconds(exposure) : "unknown";
            text.Append(CultureInfo.InvariantCulture, $"      - {{ clip: {clip}, camera: hall, shutter: {shutter}, region: [{x}, {y}, {width}, {height}] }}\n");
        }
        return text.ToString();
    }

    private static string Readout(double seconds) => seconds == 0 ? "global" : Seconds(seconds);

    private static string Seconds(double seconds) => seconds.ToString("0.################", CultureInfo.InvariantCulture) + "s";

    private static string LastLine(string text) => text.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).LastOrDefault() ?? "";

    /// <summary>Standard output as the program sees it: it may close it, the bytes stay.</summary>
    private sealed class Unclosing(MemoryStream inner) : Stream
    {
        public override bool CanRead => false;
        public override bool CanSeek => false;
        public override bool CanWrite => true;
        public override long Length => inner.Length;
        public override long Position { get => inner.Position; set => throw new NotSupportedException(); }
        public override void Flush() { }
        public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();
        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
        public override void SetLength(long value) => throw new NotSupportedException();
        public override void Write(byte[] buffer, int offset, int count) => inner.Write(buffer, offset, count);
    }
}
