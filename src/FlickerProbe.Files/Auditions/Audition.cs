using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Auditions;

/// <summary>An audition file as read: what was shot of which fixtures, and for which formats the verdict is wanted.</summary>
/// <param name="FilePath">The file's full path.</param>
/// <param name="Title">What the audition is about; null when not given.</param>
/// <param name="MainsHz">Mains frequency, hertz; null when not given.</param>
/// <param name="TestedBy">Who tested; null when not given.</param>
/// <param name="TestedOn">When it was tested, as written; null when not given.</param>
/// <param name="PolicyPath">Full path of a policy file; null for the built-in policy.</param>
/// <param name="Notes">Free text; null when not given.</param>
/// <param name="Formats">What the venue shoots, in the order of the file; empty when not given: then each take's own settings are judged.</param>
/// <param name="Cameras">The cameras by the venue's names.</param>
/// <param name="Fixtures">The candidates, in the order of the file.</param>
/// <param name="Remarks">Things worth telling that do not stop the audition.</param>
public sealed record Audition(
    string FilePath,
    string? Title,
    double? MainsHz,
    string? TestedBy,
    string? TestedOn,
    string? PolicyPath,
    string? Notes,
    IReadOnlyList<CameraFormat> Formats,
    IReadOnlyList<AuditionCamera> Cameras,
    IReadOnlyList<AuditionFixture> Fixtures,
    IReadOnlyList<Finding> Remarks)
{
    /// <summary>The schema this build reads and writes.</summary>
    public const string SchemaName = "flickerprobe/audition/1";

    /// <summary>Folder that the paths in the file are relative to.</summary>
    public string Folder => Path.GetDirectoryName(FilePath) ?? ".";

    /// <summary>The camera of that name; null for null.</summary>
    public AuditionCamera? Camera(string? name) => name is null ? null : Cameras.First(c => c.Name == name);
}

/// <summary>A camera of the venue.</summary>
/// <param name="Name">The venue's name for it.</param>
/// <param name="Readout">Readout time; null when unknown.</param>
/// <param name="Transfer">Transfer curve that overrules the clips' own tags; null to believe them.</param>
/// <param name="Notes">Free text; null when not given.</param>
public sealed record AuditionCamera(string Name, ReadoutTime? Readout, string? Transfer, string? Notes);

/// <summary>A candidate.</summary>
/// <param name="Name">What it is called in the report; unique in the file.</param>
/// <param name="Price">Price as written, such as <c>240 EUR</c>; null when not given.</param>
/// <param name="Mode">The mode it was run in; null when not given.</param>
/// <param name="Firmware">Its firmware; null when not given.</param>
/// <param name="Notes">Free text; null when not given.</param>
/// <param name="More">Anything else for the decision, key and text, in the order of the file.</param>
/// <param name="LevelsUsed">Dimmer levels 0…1 that the verdict is for; null: all that were measured.</param>
/// <param name="Takes">The takes, in the order of the file.</param>
public sealed record AuditionFixture(
    string Name,
    string? Price,
    string? Mode,
    string? Firmware,
    string? Notes,
    IReadOnlyList<KeyValuePair<string, string>> More,
    IReadOnlyList<double>? LevelsUsed,
    IReadOnlyList<AuditionTake> Takes);

/// <summary>One clip, or one region of it, as evidence for a fixture.</summary>
/// <param name="Line">Line of the audition file on which the take starts.</param>
/// <param name="Clip">The clip as written in the file.</param>
/// <param name="ClipPath">Full path of the clip.</param>
/// <param name="Camera">Name of the camera; null when not given.</param>
/// <param name="Rate">Frame rate that overrules the clip's own; null to believe the clip.</param>
/// <param name="Shutter">Shutter as written; null when unknown. An angle needs the frame rate: see <see cref="ExposureAt"/>.</param>
/// <param name="Dimmer">Dimmer level 0…1; null when not given or when the take is a sweep.</param>
/// <param name="Sweep">Dimmer levels in the order in which they were stepped through; empty when the take is no sweep.</param>
/// <param name="Stretches">Seconds from–to of each level of the sweep, when someone gave them; empty: to be found.</param>
/// <param name="Region">Region of the picture as displayed; null: found automatically.</param>
/// <param name="Reference">Clip with the fixture off, as written; null without one.</param>
/// <param name="ReferencePath">Full path of the reference; null without one.</param>
/// <param name="Purpose">What the take is for; null when not given.</param>
/// <param name="Notes">Free text; null when not given.</param>
public sealed record AuditionTake(
    int Line,
    string Clip,
    string ClipPath,
    string? Camera,
    FrameRate? Rate,
    string? Shutter,
    double? Dimmer,
    IReadOnlyList<double> Sweep,
    IReadOnlyList<(double FromSeconds, double ToSeconds)> Stretches,
    Region? Region,
    string? Reference,
    string? ReferencePath,
    string? Purpose,
    string? Notes)
{
    /// <summary>The exposure at the clip's frame rate; null when the shutter is unknown.</summary>
    /// <exception cref="Units.InputException">The shutter is longer than a frame at that rate.</exception>
    public ExposureTime? ExposureAt(FrameRate rate) => Shutter is null ? null : ExposureTime.Parse(Shutter, Rate ?? rate);

    /// <summary>The dimmer levels this take is evidence for: the sweep's, or the one level, which may be unknown.</summary>
    public IReadOnlyList<double?> Levels => Sweep.Count > 0 ? [.. Sweep.Select(l => (double?)l)] : [Dimmer];
}
