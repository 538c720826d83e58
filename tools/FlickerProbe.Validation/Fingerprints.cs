using System.Security.Cryptography;
using System.Text;
using FlickerProbe.Cli;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation;

/// <summary>Tells whether a result is of this very case and of these very programs.</summary>
internal static class Fingerprints
{
    private static readonly string Programs = string.Join(',', new[] { typeof(TakeEstimator), typeof(ResultDocument), typeof(Application), typeof(ClipRenderer) }
        .Select(t => t.Assembly.ManifestModule.ModuleVersionId.ToString("N")));

    public static string Of(ValidationCase c) => Hash(
        c.Recipe.ToJson() + c.Extension + c.CodedRegion + c.StatedExposureSeconds + c.StatedReadoutSeconds + c.StatedRate + c.WithCube + c.OtherFormat + (c.Reference is null));

    public static string Of(EveningCase evening) => Hash(
        ProgramCall.AuditionFile(evening, [.. evening.Takes.Select(t => t.Extension)]) + string.Concat(evening.Takes.Select(t => t.Recipe.ToJson())));

    private static string Hash(string recipe) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Programs + recipe)))[..24];
}
