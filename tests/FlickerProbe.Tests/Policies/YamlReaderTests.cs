using FlickerProbe.Camera;
using FlickerProbe.Files.Yaml;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Policies;

public class YamlReaderTests
{
    [Fact]
    public void Blocks_lists_and_values_keep_their_lines()
    {
        YamlMap map = YamlReader.Parse("title: Spring\nformats:\n  - { camera: hall, shutter: 1/60 }\n  - camera: side\n    rate: 29.97\n", "a.yaml");

        Assert.Equal("Spring", map.Text("title"));
        YamlSequence formats = map.Sequence("formats")!;
        Assert.Equal(2, formats.Items.Count);
        YamlMap second = formats.Items[1].AsMap("a format");
        Assert.Equal(4, second.Line);
        Assert.Equal(FrameRate.FromRational(30000, 1001), second.Parsed("rate", FrameRate.Parse));
        Assert.Null(second.Text("shutter"));
    }

    [Theory]
    [InlineData("a: 1\nb: &x 2\n", "line 2", "anchor")]
    [InlineData("a: 1\nb: *x\n", "line 2", "alias")]
    [InlineData("a: !!int 1\n", "line 1", "tag")]
    [InlineData("a: 1\na: 2\n", "line 2", "second time")]
    [InlineData("a: 1\n---\nb: 2\n", "line 2", "second document")]
    [InlineData("a: 1\n\tb: 2\n", "line 2", "not valid YAML")]
    [InlineData("a: [1, 2\nb: 2\n", "line", "not valid YAML")]
    [InlineData("", "line 1", "empty")]
    [InlineData("- 1\n", "line 1", "list")]
    [InlineData("? [1]\n: 2\n", "line 1", "single word")]
    [InlineData("a: [[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]\n", "line 1", "nesting")]
    public void Anything_beyond_plain_YAML_is_refused_with_its_line(string text, string line, string word)
    {
        InputException refusal = Assert.Throws<InputException>(() => YamlReader.Parse(text, "a.yaml"));
        Assert.StartsWith("a.yaml, " + line, refusal.Message, StringComparison.Ordinal);
        Assert.Contains(word, refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Unknown_keys_name_the_nearest_known_one()
    {
        YamlMap map = YamlReader.Parse("title: x\nfixturs: []\n", "a.yaml");
        InputException refusal = Assert.Throws<InputException>(() => map.Only("an audition", "title", "fixtures", "formats"));
        Assert.StartsWith("a.yaml, line 2: 'fixturs' is not known in an audition: did you mean 'fixtures'?", refusal.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("a: .nan")]
    [InlineData("a: NaN")]
    [InlineData("a: .inf")]
    [InlineData("a: 1e999")]
    [InlineData("a: 0,5")]
    [InlineData("a: '0.5'")]
    [InlineData("a: [1]")]
    [InlineData("a:")]
    [InlineData("a: ~")]
    public void A_number_is_a_finite_number_and_nothing_else(string text)
    {
        YamlMap map = YamlReader.Parse("# note\n" + text + "\n", "a.yaml");
        InputException refusal = Assert.Throws<InputException>(() => map.Number("a"));
        Assert.StartsWith("a.yaml, line 2: 'a'", refusal.Message, StringComparison.Ordinal);
    }

    [Theory] // Distances by hand; "kitten" to "sitting" is the textbook example.
    [InlineData("kitten", "sitting", 3)]
    [InlineData("", "abc", 3)]
    [InlineData("Pass", "pass", 0)]
    public void Edit_distance_is_Levenshteins(string left, string right, int edits) => Assert.Equal(edits, NearestWord.Distance(left, right));

    [Fact]
    public void A_word_too_far_from_all_known_ones_gets_no_guess() => Assert.Null(NearestWord.To("wavelength", ["title", "mains"]));

    [Fact]
    public void A_missing_file_is_named() =>
        Assert.StartsWith("no-such.yaml: there is no such file", Assert.Throws<InputException>(() => YamlReader.ReadFile("no-such.yaml")).Message, StringComparison.Ordinal);
}
