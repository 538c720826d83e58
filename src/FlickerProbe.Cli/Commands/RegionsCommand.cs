using System.CommandLine;
using System.Globalization;
using FlickerProbe.Cli.Options;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Cameras;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Picture;

namespace FlickerProbe.Cli.Commands;

/// <summary><c>flickerprobe regions CLIP</c>: what would be measured, before it is measured.</summary>
internal sealed class RegionsCommand : Command, IHasExamples
{
    private readonly Streams _streams;
    private readonly Argument<string> _clip = new("CLIP") { Description = "The clip or still picture (anything ffmpeg reads)." };

    private readonly Option<TransferFunction?> _transfer = ClipOptions.TransferOption();
    private readonly Option<SignalRange?> _range = ClipOptions.RangeOption();

    private readonly Option<string?> _output = new("--output")
    {
        HelpName = "FILE.png",
        Description = "Where the picture goes. Left out: beside you, named after the clip.",
    };

    /// <summary>Makes the command.</summary>
    public RegionsCommand(Streams streams) : base("regions", "Show what can be measured in a clip: areas, their level, and why the rest is left out.")
    {
        _streams = streams;
        Add(_clip);
        Add(_output);
        Add(_transfer);
        Add(_range);
        SetAction(RunAsync);
    }

    /// <inheritdoc/>
    public IReadOnlyList<(string Call, string Meaning)> Examples { get; } =
    [
        ("flickerprobe regions wash.mp4", "List the areas and draw them into wash-regions.png."),
        ("flickerprobe regions two-lamps.mov --output check.png", "The same, with a name for the picture."),
    ];

    private async Task<int> RunAsync(ParseResult call, CancellationToken cancellation)
    {
        string clip = call.GetRequiredValue(_clip);
        string picture = call.GetValue(_output) ?? Path.GetFileNameWithoutExtension(clip) + "-regions.png";
        WritablePlace.CheckFile(picture, "--output", [clip]);
        (ClipInfo info, RegionSearch search, byte[]? still) = await WorkDisplay.RunAsync(_streams, progress => Task.Run(() => Look(clip, call.GetValue(_transfer), call.GetValue(_range), progress, cancellation), cancellation)).ConfigureAwait(false);
        AtomicFile.Write(picture, RegionsPicture.Draw(still, search.Cells, search.Areas, info.Orientation));
        if (search.Areas.Areas.Count == 0) throw new ClipException(search.WhyNothing(info));
        foreach (string line in Lines(search)) _streams.Output.WriteLine(line);
        _streams.Output.WriteLine(SafeText.Line("Picture: " + picture));
        return ExitStatus.Done;
    }

    private static (ClipInfo, RegionSearch, byte[]?) Look(string clip, TransferFunction? transfer, SignalRange? range, IProgress<StageProgress> progress, CancellationToken cancellation)
    {
        string stage = $"{Path.GetFileName(clip)}: looking for lit areas";
        progress.Report(new StageProgress(stage, null));
        ClipInfo info = ClipProbe.Probe(clip, null, cancellation);
        RegionSearch search = RegionSearch.In(info, transfer, range, cancellation);
        byte[]? still = Files.Decoding.StillPicture.Fetch(info, null, cancellation);
        progress.Report(new StageProgress(stage, 1));
        // Lamps whose light meets on one surface are told apart by how it flickers, which takes the whole clip.
        if (!info.IsStill && search.Areas.Areas.Count > 0)
        {
            var request = new TakeRequest { Clip = clip, Regions = search.Regions(info, every: true), Transfer = transfer, Range = range, Colour = ColourMode.Off };
            try
            {
                search = search.Divided(info, new TakeMeasurer(CameraStore.OfUser()).Divided(request, progress, cancellation));
            }
            catch (ClipException)
            {
                // What can be seen in it is shown, although it can't be measured as it is.
            }
        }
        return (info, search, still);
    }

    private static IEnumerable<string> Lines(RegionSearch search)
    {
        List<string[]> rows = [["", "area", "left,top,width,height", "level", ""]];
        int n = 0;
        foreach (FoundArea area in search.Areas.Areas)
        {
            Region region = area.Region;
            (double low, double high) = RegionsPicture.Range(search.Cells, area);
            rows.Add(
            [
                string.Create(CultureInfo.InvariantCulture, $"{++n}"),
                area.Position.Length > 0 ? area.Position : "only one",
                string.Create(CultureInfo.InvariantCulture, $"{region.X},{region.Y},{region.Width},{region.Height}"),
                string.Create(CultureInfo.InvariantCulture, $"{area.MeanLevel * 100:0} % ({low * 100:0} to {high * 100:0} %)"),
                Remark(area),
            ]);
        }
        int[] widths = [.. Enumerable.Range(0, rows[0].Length).Select(column => rows.Max(row => row[column].Length))];
        foreach (string[] row in rows) yield return string.Join("  ", row.Select((cell, column) => cell.PadRight(widths[column]))).TrimEnd();
        string[] leftOut = [.. ((CellUse[])[CellUse.Clipped, CellUse.Dark, CellUse.Moving, CellUse.Patterned, CellUse.Small])
            .Where(use => search.Areas.Share(use) >= 0.005)
            .Select(use => string.Create(CultureInfo.InvariantCulture, $"{search.Areas.Share(use) * 100:0} % {RegionsPicture.Word(use)}"))];
        if (leftOut.Length > 0) yield return $"Left out of the picture: {string.Join(", ", leftOut)}.";
    }

    private static string Remark(FoundArea area) => (area.SomethingPasses, area.MeanLevel) switch
    {
        (true, _) => "something passes through it at times",
        (_, < 0.4) => "rather dark: 50 to 80 % serves best",
        (_, > 0.8) => "rather bright: 50 to 80 % serves best",
        _ => "",
    };
}
