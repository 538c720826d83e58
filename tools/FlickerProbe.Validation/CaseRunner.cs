using System.Diagnostics;
using System.Security.Cryptography;
using System.Text;
using FlickerProbe.Cli;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Truth;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation;

/// <summary>Renders a case, has it measured, and throws the clip away.</summary>
public static class CaseRunner
{
    private static readonly string Programs = string.Join(',', new[] { typeof(TakeEstimator), typeof(ResultDocument), typeof(Application), typeof(ClipRenderer) }
        .Select(t => t.Assembly.ManifestModule.ModuleVersionId.ToString("N")));

    /// <summary>Stands for the recipe and the programs.</summary>
    public static string Fingerprint(ValidationCase c) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(
        Programs + c.Recipe.ToJson() + c.Extension + c.CodedRegion + c.StatedExposureSeconds + c.StatedReadoutSeconds + c.StatedRate + c.WithCube + c.OtherFormat + (c.Reference is null))))[..24];

    /// <summary>Renders and measures; with <paramref name="keepIn"/> the clip and its truth stay in that folder.</summary>
    public static CaseResult Run(ValidationCase c, string? keepIn = null, CancellationToken cancel = default)
    {
        string folder = keepIn ?? Directory.CreateTempSubdirectory("validate-").FullName;
        try
        {
            string clip = Path.Combine(folder, FormattableString.Invariant($"seed-{c.Seed}{c.Extension}"));
            ClipTruth rendered = ClipRenderer.Render(c.Recipe, clip, writeTruth: keepIn is not null);
            string? reference = null, cube = null;
            if (c.Reference is { } off) ClipRenderer.Render(off, reference = Path.Combine(folder, FormattableString.Invariant($"seed-{c.Seed}-off{c.Extension}")));
            if (c.WithCube) c.Recipe.Curve.WriteCube(cube = Path.Combine(folder, FormattableString.Invariant($"seed-{c.Seed}.cube")));
            CaseTruth truth = CaseTruth.Of(c);
            return new CaseResult
            {
                Seed = c.Seed,
                Fingerprint = Fingerprint(c),
                Truth = c.Reference is null ? truth : truth.WithoutOtherLight(c),
                Measured = Measure(c, clip, reference, cube, cancel),
                DepthInClip = rendered.Regions[0].DepthInClip,
                FileBytes = new FileInfo(clip).Length,
            };
        }
        finally
        {
            if (keepIn is null) Directory.Delete(folder, true);
        }
    }

    /// <summary>Calls the program as a person would, only without a process of its own, and reads its result document.</summary>
    private static MeasuredClip Measure(ValidationCase c, string clip, string? reference, string? cube, CancellationToken cancel)
    {
        Stopwatch watch = Stopwatch.StartNew();
        using MemoryStream result = new();
        using StringWriter output = new(), error = new();
        Streams streams = new(output, error, () => new Unclosing(result), ErrorIsTerminal: false, InputIsTerminal: false, TextReader.Null);
        int status = new Application(streams).RunAsync(ProgramCall.Arguments(c, clip, reference, cube), cancel).GetAwaiter().GetResult();
        if (status != 0) return new MeasuredClip { Refusal = $"status {status}: {LastLine(error.ToString())}", Seconds = watch.Elapsed.TotalSeconds };
        ResultDocument document = ResultJson.Read(Encoding.UTF8.GetString(result.ToArray()), clip, strict: true);
        return MeasuredClip.Of(document, watch.Elapsed.TotalSeconds);
    }

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
