using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Verdict;

public class ColourWordsTests
{
    private static readonly Lines Lines = Policy.Default.Depth;
    private static readonly Estimate Deep = new(0.2, 0.18, 0.22), None = new(0, 0, 0.004), Unclear = new(0.01, 0.002, 0.03);

    [Fact]
    public void One_emitter_that_flickers_is_named_beside_those_that_do_not() =>
        Assert.Equal("The blue emitter flickers, red and green do not", ColourWords.Of([("red", None), ("green", None), ("blue", Deep)], Lines));

    [Fact]
    public void Two_and_one() =>
        Assert.Equal("The red and green emitters flicker, blue does not", ColourWords.Of([("red", Deep), ("green", Deep), ("blue", None)], Lines));

    [Fact]
    public void What_cannot_be_told_is_said() =>
        Assert.Equal("The blue emitter flickers; of red and green it can't be told", ColourWords.Of([("red", Unclear), ("green", Unclear), ("blue", Deep)], Lines));

    [Fact]
    public void The_bound_is_that_of_the_least_known_colour()
    {
        Assert.Equal("In red, green and blue by themselves it is at most 0.40 %.", ColourWords.Bound([("red", new(0, 0, 0.001)), ("green", None), ("blue", new(0.001, 0, 0.002))]));
        Assert.Equal("In red by itself it is at most 0.40 %.", ColourWords.Bound([("red", None)]));
    }

    [Fact]
    public void Nothing_is_said_where_none_surely_flickers() =>
        Assert.Null(ColourWords.Of([("red", Unclear), ("green", None)], Lines));
}
