using FlickerProbe.Camera;

namespace FlickerProbe.Tests.Cameras;

/// <summary>The definition by trying every k; the published table is in the tests of the beat table.</summary>
public class AliasFrequencyTests
{
    [Fact]
    public void It_is_what_is_left_after_the_nearest_whole_number_of_frames()
    {
        foreach (string text in new[] { "24000/1001", "25", "30000/1001", "50", "60000/1001", "12.5" })
        {
            FrameRate rate = FrameRate.Parse(text);
            for (double hertz = 0.37; hertz < 1300; hertz += 7.77)
            {
                double nearest = Enumerable.Range(0, 200).Select(k => hertz - k * rate.Hertz).MinBy(Math.Abs);
                Assert.Equal(nearest, AliasFrequency.Of(hertz, rate), 1e-9);
            }
        }
    }

    [Fact]
    public void Half_the_frame_rate_counts_as_forwards()
    {
        Assert.Equal(12.5, AliasFrequency.Of(12.5, FrameRate.Parse("25")));
        Assert.Equal(12.5, AliasFrequency.Of(-12.5, FrameRate.Parse("25")));
        Assert.Equal(24, AliasFrequency.Of(120, FrameRate.Parse("48")));
    }

    [Fact]
    public void The_sampled_cosine_can_t_tell_a_frequency_from_its_alias()
    {
        FrameRate rate = FrameRate.Parse("29.97");
        foreach (double hertz in new[] { 100, 120, 437.3, 25_000 })
        {
            double alias = AliasFrequency.Of(hertz, rate);
            for (int n = 0; n < 300; n++)
                Assert.Equal(Math.Cos(2 * Math.PI * hertz * n * rate.PeriodSeconds), Math.Cos(2 * Math.PI * alias * n * rate.PeriodSeconds), 1e-8);
        }
    }
}
