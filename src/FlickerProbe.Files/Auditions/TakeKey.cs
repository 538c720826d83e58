using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using FlickerProbe.Files.Pipeline;

namespace FlickerProbe.Files.Auditions;

/// <summary>Everything that a take's measurement depends on: the clip's content, the settings, the program. Names, prices, formats and policies are no part of it.</summary>
/// <param name="Text">All of it, readable.</param>
/// <param name="ClipSha256">Hash of the clip.</param>
public sealed record TakeKey(string Text, string ClipSha256)
{
    // The version alone would keep measurements over a change of the program between releases; builds are deterministic, so their ids name their content.
    internal static readonly string Program = string.Join(' ', ProgramVersion.Text,
        typeof(Measurement.TakeMeasurement).Module.ModuleVersionId.ToString("N"), typeof(TakeKey).Module.ModuleVersionId.ToString("N"));

    /// <summary>Name under which the measurement is kept.</summary>
    public string FileName => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Text)))[..32];

    /// <summary>The key of a take.</summary>
    /// <param name="audition">For the camera's transfer table.</param>
    /// <param name="take">The take.</param>
    /// <param name="request">The take as the pipeline has it.</param>
    /// <param name="sha256">Hash of a file.</param>
    public static TakeKey Of(Audition audition, AuditionTake take, TakeRequest request, Func<string, string> sha256)
    {
        string clip = sha256(take.ClipPath);
        string? curve = audition.Camera(take.Camera)?.Transfer;
        if (curve?.EndsWith(".cube", StringComparison.OrdinalIgnoreCase) == true) curve = sha256(Path.Combine(audition.Folder, curve));
        var text = new StringBuilder();
        void Add(string name, object? value) => text.Append(name).Append('=').Append(Convert.ToString(value ?? "-", CultureInfo.InvariantCulture)).Append('\n');
        Add("program", Program);
        Add("clip", clip);
        Add("reference", take.ReferencePath is null ? null : sha256(take.ReferencePath));
        Add("shutter", request.Shutter?.Text);
        Add("rate", request.FrameRate);
        Add("readout", request.Readout is { } r ? string.Create(CultureInfo.InvariantCulture, $"{r.Seconds:R} {r.RelativeDeviation:R}") : null);
        Add("curve", curve);
        Add("range", request.Range);
        Add("colour", request.Colour);
        Add("region", take.Region is { } g ? string.Create(CultureInfo.InvariantCulture, $"{g.X},{g.Y},{g.Width},{g.Height}") : null);
        Add("sweep", string.Join(' ', take.Sweep.Select(l => l.ToString("R", CultureInfo.InvariantCulture))));
        Add("stretches", string.Join(' ', take.Stretches.Select(s => string.Create(CultureInfo.InvariantCulture, $"{s.FromSeconds:R}-{s.ToSeconds:R}"))));
        return new TakeKey(text.ToString(), clip);
    }
}
