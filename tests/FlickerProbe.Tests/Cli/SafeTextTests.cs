using FlickerProbe.Cli.Terminal;
using Xunit;

namespace FlickerProbe.Tests.Cli;

public class SafeTextTests
{
    [Theory]
    [InlineData("plain name.mp4", "plain name.mp4")]
    [InlineData("Bühne 舞台.mp4", "Bühne 舞台.mp4")]
    [InlineData("a\u001b[2Jb", "a\\x1B[2Jb")]
    [InlineData("two\nlines", "two\\x0Alines")]
    [InlineData("\u009b31m", "\\x9B31m")]
    [InlineData("gpj.\u202Eexe", "gpj.\\u202Eexe")]
    public void Steering_characters_become_their_codes(string name, string shown) => Assert.Equal(shown, SafeText.Line(name));

    [Fact]
    public void Lines_stay_lines() => Assert.Equal("a\\x1B\nb", SafeText.Lines("a\u001b\r\nb"));
}
