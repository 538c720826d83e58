using System.Diagnostics;
using System.Security.Cryptography;
using System.Text;
using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Truth;
using FlickerProbe.Units;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation;

/// <summary>Renders a case, has it measured, and throws the clip away.</summary>
public static class CaseRunner
{
    /// <summary>Lines of the default policy, ratios: depth to pass at most, depth to fail at least.</summary>
    private const double PassLine = 0.01, FailLine = 0.03;

    private static readonly string Programs = string.Join(',', new[] { typeof(TakeEstimator), typeof(ClipReader), typeof(ClipRenderer) }
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

    private static MeasuredClip Measure(ValidationCase c, string clip, string? reference, string? cube, CancellationToken cancel)
    {
        Stopwatch watch = Stopwatch.StartNew();
        try
        {
            var (x, y, width, height) = c.DisplayedRegion;
            ClipRequest request = new([new Region(x, y, width, height)])
            {
                UserRate = c.StatedRate is { } r ? Camera.FrameRate.FromRational(r.Numerator, r.Denominator) : null,
                Exposure = c.StatedExposureSeconds is { } e ? ExposureTime.FromSeconds(e) : null,
                Readout = c.StatedReadoutSeconds is { } s ? ReadoutTime.FromSeconds(s) : null,
                CubePath = cube,
                ReferencePath = reference,
                WantStill = false,
            };
            SampledClip sampled = ClipReader.Read(clip, request, null, cancel);
            TakeMeasurement take = TakeEstimator.Measure(sampled.Regions[0].Take, new EstimatorOptions(WithExhibit: false), cancel);
            List<Finding> findings = [.. sampled.Findings, .. take.Findings];
            LightEstimate light = LightFusion.Fuse([take]);
            return new MeasuredClip
            {
                Verdict = take.ModulationDepth is not { } d ? "watch"
                    : d.Low >= FailLine ? "fail"
                    : d.High <= PassLine && !findings.Any(f => f.ForbidsPass) ? "pass" : "watch",
                Depth = take.ModulationDepth,
                DetectionLimit = take.DetectionLimit,
                SlowestBeatHz = take.SlowestBeatHz,
                LockedBound = take.LockedBound,
                FundamentalHz = light.FundamentalHz,
                Tones = [.. take.Tones.Select(t => new MeasuredTone(t.AliasHz.Value, t.FrequencyHz, [.. t.CandidatesHz.Take(200)], t.Amplitude))],
                Codes = [.. findings.Select(f => f.ForbidsPass ? f.Code + "!" : f.Code).Distinct()],
                Seconds = watch.Elapsed.TotalSeconds,
            };
        }
        catch (Exception e) when (e is InputException or ClipException)
        {
            return new MeasuredClip { Refusal = e.Message, Seconds = watch.Elapsed.TotalSeconds };
        }
    }
}
