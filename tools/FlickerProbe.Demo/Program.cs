using System.Diagnostics;
using System.Globalization;
using FlickerProbe.Cli;
using FlickerProbe.Cli.Terminal;
using FlickerProbe.Demo;
using FlickerProbe.Rendering;

// The main job from end to end: film four invented lights with a simulated camera, then measure, judge and report with the real program.
string root = FindRoot();
string folder = Path.GetFullPath(args.Length > 0 ? args[0] : Path.Combine(root, "reports", "demo"));
string clips = Path.Combine(folder, "clips");
var watch = Stopwatch.StartNew();
Directory.CreateDirectory(clips);

IReadOnlyList<(string Name, ClipRecipe Recipe)> all = DemoClips.All(Path.Combine(root, "fixtures"));
int done = 0;
Console.Error.WriteLine($"Filming {all.Count} clips of four invented lights …");
Parallel.ForEach(all, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, clip =>
{
    ClipRenderer.Render(clip.Recipe, Path.Combine(clips, clip.Name), writeTruth: true);
    Console.Error.WriteLine($"  {Interlocked.Increment(ref done)} of {all.Count}: {clip.Name}");
});
File.Copy(Path.Combine(root, "tools", "FlickerProbe.Demo", "audition.yaml"), Path.Combine(clips, "audition.yaml"), overwrite: true);

var flickerprobe = new Application(Streams.OfThisProcess());
Console.Error.WriteLine("Finding the camera's readout time from a mains-fed lamp …");
int status = await flickerprobe.RunAsync(["calibrate", Path.Combine(clips, "lamp.mp4"), "--known", "120Hz", "--shutter", "1/1000", "--region", "176,48,288,264"]);
if (status == ExitStatus.Done)
    status = await flickerprobe.RunAsync(["audition", Path.Combine(clips, "audition.yaml"), "--out", folder]);
Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Took {watch.Elapsed.TotalSeconds:0} s."));
return status;

static string FindRoot()
{
    for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
    {
        if (File.Exists(Path.Combine(folder.FullName, "FlickerProbe.sln"))) return folder.FullName;
    }
    throw new InvalidOperationException("The demo runs from a checkout: FlickerProbe.sln was not found above the program.");
}
