using FlickerProbe.Cli.Options;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Cli;

public sealed class WritablePlaceTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory().FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_place_that_can_be_made_is_fine_and_nothing_is_left_there()
    {
        WritablePlace.CheckFolder(Path.Combine(_folder, "new", "deep"), "--report");
        WritablePlace.CheckFile(Path.Combine(_folder, "new", "result.json"), "--json", []);

        Assert.Empty(Directory.EnumerateFileSystemEntries(_folder));
    }

    [Fact]
    public void A_file_is_no_folder_and_a_folder_no_file()
    {
        string file = Path.Combine(_folder, "clip.mp4");
        File.WriteAllText(file, "");

        Assert.Contains("is a file", Assert.Throws<InputException>(() => WritablePlace.CheckFolder(file, "--report")).Message, StringComparison.Ordinal);
        Assert.Contains("is a file", Assert.Throws<InputException>(() => WritablePlace.CheckFolder(Path.Combine(file, "inside"), "--report")).Message, StringComparison.Ordinal);
        Assert.Contains("names the folder", Assert.Throws<InputException>(() => WritablePlace.CheckFile(_folder, "--json", [])).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_clip_is_never_written_over()
    {
        string clip = Path.Combine(_folder, "clip.mp4");
        File.WriteAllText(clip, "");

        InputException refusal = Assert.Throws<InputException>(() => WritablePlace.CheckFile(Path.Combine(_folder, ".", "clip.mp4"), "--json", [clip]));

        Assert.Contains("write over", refusal.Message, StringComparison.Ordinal);
    }
}
