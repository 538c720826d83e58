using FlickerProbe.Files.Results;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Results;

public sealed class AtomicFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("flickerprobe-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("plain.json")]
    [InlineData("new folder/with 'quotes' & ünïcode.json")]
    [InlineData("-dash")]
    public void Writes_the_text_and_leaves_nothing_beside_it(string name)
    {
        string path = Path.Combine(_folder, name);
        AtomicFile.Write(path, "first");
        AtomicFile.Write(path, "zweite Fassung – µ");
        Assert.Equal("zweite Fassung – µ", File.ReadAllText(path));
        Assert.Single(Directory.EnumerateFiles(Path.GetDirectoryName(path)!));
        Assert.Equal((byte)'z', File.ReadAllBytes(path)[0]);
    }

    [Fact]
    public void Where_it_may_not_write_it_says_so_and_leaves_nothing()
    {
        // A folder stands where the file should go, on every system and for every user.
        string path = Path.Combine(_folder, "taken");
        Directory.CreateDirectory(Path.Combine(path, "inside"));
        InputException problem = Assert.Throws<InputException>(() => AtomicFile.Write(path, "text"));
        Assert.StartsWith($"'{path}' can't be written", problem.Message, StringComparison.Ordinal);
        Assert.Empty(Directory.EnumerateFiles(_folder));
    }
}
