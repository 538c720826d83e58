using System.Globalization;
using System.Text;
using FlickerProbe.Camera;
using FlickerProbe.Planning;

namespace FlickerProbe.Files.Auditions;

/// <summary>Writes the starter audition file of a plan, with comments for the person who fills it in.</summary>
public static class AuditionWriter
{
    /// <summary>Name of the schema file that is put beside the audition file for editors.</summary>
    public const string SchemaFile = "audition-1.schema.json";

    /// <summary>The file's text; reads back with <see cref="AuditionReader"/> as it stands.</summary>
    public static string Starter(ShotPlan plan)
    {
        PlanRequest request = plan.Request;
        var text = new StringBuilder();
        Line(text, $"# yaml-language-server: $schema=./{SchemaFile}");
        Line(text, "# An audition of light fixtures on camera. Put the clips beside this file; then run: flickerprobe audition THIS-FILE");
        Line(text, $"schema: {Audition.SchemaName}");
        Line(text, $"title: {YamlText.Quote(string.IsNullOrWhiteSpace(request.Title) ? "Untitled audition" : request.Title)}");
        Line(text, request.MainsHz is { } mains ? string.Create(CultureInfo.InvariantCulture, $"mains: {mains:0.##}Hz") : "# mains: 50Hz");
        Line(text, "# tested-by: who tested, and when");
        Line(text, "# tested-on: 2030-01-31");
        Line(text, "");
        WriteFormats(text, request.Formats);
        WriteCameras(text, plan);
        Line(text, "fixtures:");
        foreach (string fixture in request.Fixtures) WriteFixture(text, plan, fixture);
        return text.ToString();
    }

    private static void WriteFormats(StringBuilder text, IReadOnlyList<CameraFormat> formats)
    {
        Line(text, "# What the venue shoots: the verdict is for these.");
        if (formats.Count == 0)
        {
            Line(text, "# formats:");
            Line(text, "#   - { frame-rate: 25, shutter: 1/50 }");
        }
        else
        {
            Line(text, "formats:");
        }
        foreach (CameraFormat format in formats)
        {
            string camera = format.CameraName is null ? "" : $"camera: {YamlText.Quote(format.CameraName)}, ";
            string shutter = format.Exposure is null ? "unknown" : YamlText.Seconds(format.Exposure.Seconds);
            string readout = format.CameraName is null && format.Readout is not null ? $", readout: {YamlText.Readout(format.Readout)}" : "";
            Line(text, $"  - {{ {camera}frame-rate: {YamlText.Rate(format.Rate)}, shutter: {shutter}{readout} }}");
        }
        Line(text, "");
    }

    private static void WriteCameras(StringBuilder text, ShotPlan plan)
    {
        Line(text, "cameras:");
        foreach (PlanCamera camera in plan.Request.Cameras)
        {
            Line(text, camera.Readout is { } readout
                ? $"  {YamlText.Quote(camera.Name)}: {{ readout: {YamlText.Readout(readout)} }}"
                : $"  {YamlText.Quote(camera.Name)}: {{}} # readout unknown: write {{ readout: 16ms }} or {{ readout: global }} once it is known");
            if (plan.Takes.FirstOrDefault(t => t.Kind == TakeKind.Calibration && t.Camera == camera.Name) is { } calibration)
                Line(text, $"  # take {calibration.Number}, {calibration.ClipName}, finds it: flickerprobe calibrate {calibration.ClipName} --known {Known(plan)} --shutter {calibration.Setting.Shutter}");
        }
        // Formats may name a camera that is not there to test with; its name must still be known.
        foreach (string name in plan.Request.Formats.Select(f => f.CameraName).OfType<string>().Distinct().Where(n => plan.Request.Cameras.All(c => c.Name != n)))
            Line(text, $"  {YamlText.Quote(name)}: {{}}");
        Line(text, "");
    }

    // A calibration take is only planned where the mains is known; its lamp ripples at twice that.
    private static string Known(ShotPlan plan) => string.Create(CultureInfo.InvariantCulture, $"{2 * plan.Request.MainsHz!.Value:0.##}Hz");

    private static void WriteFixture(StringBuilder text, ShotPlan plan, string fixture)
    {
        Line(text, $"  - name: {YamlText.Quote(fixture)}");
        Line(text, "    # price: 240 EUR");
        Line(text, "    # mode: as set on the fixture");
        Line(text, "    # firmware: as shown in its menu");
        Line(text, "    # notes: anything else for the decision");
        PlannedTake[] takes = [.. plan.Takes.Where(t => t.Fixture == fixture)];
        Line(text, $"    levels-used: [{Levels(takes[0].Levels)}]");
        Line(text, "    takes:");
        foreach (PlannedTake take in takes)
        {
            string shutter = take.Setting.Shutter ?? "unknown";
            string levels = take.Levels.Count == 1 ? $"dimmer: {Levels(take.Levels)}" : $"sweep: [{Levels(take.Levels)}]";
            Line(text, $"      - clip: {take.ClipName}");
            Line(text, $"        camera: {YamlText.Quote(take.Camera)}");
            Line(text, $"        frame-rate: {YamlText.Rate(take.Setting.Rate)}");
            Line(text, $"        shutter: {shutter}");
            Line(text, $"        {levels}");
            if (take.ReferenceClip is not null) Line(text, $"        reference: {take.ReferenceClip}");
            Line(text, $"        purpose: {YamlText.Quote(take.Purpose)}");
        }
    }

    private static string Levels(IReadOnlyList<double> levels) =>
        string.Join(", ", levels.Select(l => string.Create(CultureInfo.InvariantCulture, $"{l * 100:0.####}%")));

    // LF everywhere: the same plan gives the same bytes on every system.
    private static void Line(StringBuilder text, string line) => text.Append(line).Append('\n');
}
