using FlickerProbe.Room;
using FlickerProbe.Tests.References;
using Xunit;

namespace FlickerProbe.Tests.Room;

public class StroboscopicVisibilityTests
{
    [Theory] // Recomputed from the two formulas; their constants are from memory, so this pins our formula and proves nothing about the standards.
    [InlineData(80, 0.2429, 0.2498)]
    [InlineData(100, 0.2563, 0.2599)]
    [InlineData(120, 0.2757, 0.2713)]
    [InlineData(200, 0.3654, 0.3268)]
    [InlineData(300, 0.4915, 0.4152)]
    [InlineData(400, 0.6186, 0.5216)]
    [InlineData(500, 0.7314, 0.6434)]
    [InlineData(800, 0.9280, 1.0892)]
    [InlineData(1000, 0.9732, 1.4443)]
    [InlineData(1500, 0.9979, 2.5045)]
    [InlineData(2000, 0.9998, 3.7782)]
    public void Threshold_functions(double hz, double first, double second)
    {
        Assert.Equal(first, StroboscopicVisibility.Threshold(hz, StroboscopicThreshold.Cie2016), 5e-5);
        Assert.Equal(second, StroboscopicVisibility.Threshold(hz, StroboscopicThreshold.Perz2018), 5e-5);
    }

    [Fact] // Two independent publications support each other where mains ripple lies.
    public void The_two_thresholds_agree_within_three_per_cent_at_mains_ripple()
    {
        for (double hz = 80; hz <= 120; hz += 5)
        {
            double ratio = StroboscopicVisibility.Threshold(hz, StroboscopicThreshold.Perz2018) / StroboscopicVisibility.Threshold(hz, StroboscopicThreshold.Cie2016);
            Assert.InRange(ratio, 0.97, 1.03);
        }
    }

    [Theory] // Formula and exponent 3.7: IEC TR 63158:2018 as restated in an encyclopedia; worked values recomputed, overtones 80…2000 Hz inclusive.
    [InlineData(100, "sine", 3.9021, 3.8473)]
    [InlineData(100, "rectified", 2.6019, 2.5656)]
    [InlineData(100, "square", 4.9704, 4.9026)]
    [InlineData(100, "pulse25", 7.1673, 7.1467)]
    [InlineData(100, "pulse10", 8.2373, 8.4458)]
    [InlineData(100, "pulse75", 2.3891, 2.3822)]
    [InlineData(120, "sine", 3.6273, 3.6864)]
    [InlineData(120, "rectified", 2.4186, 2.4582)]
    [InlineData(120, "square", 4.6200, 4.6964)]
    [InlineData(120, "pulse25", 6.6396, 6.8106)]
    [InlineData(120, "pulse10", 7.5655, 7.9268)]
    [InlineData(120, "pulse75", 2.2132, 2.2702)]
    [InlineData(200, "sine", 2.7370, 3.0603)]
    [InlineData(200, "rectified", 1.8249, 2.0404)]
    [InlineData(200, "square", 3.4858, 3.8972)]
    [InlineData(200, "pulse25", 4.9817, 5.5834)]
    [InlineData(200, "pulse10", 5.6164, 6.2913)]
    [InlineData(200, "pulse75", 1.6606, 1.8611)]
    [InlineData(500, "sine", 1.3672, 1.5541)]
    [InlineData(500, "rectified", 0.9117, 1.0361)]
    [InlineData(500, "square", 1.7433, 1.9789)]
    [InlineData(500, "pulse25", 2.5272, 2.8090)]
    [InlineData(500, "pulse10", 3.0536, 3.0949)]
    [InlineData(500, "pulse75", 0.8424, 0.9363)]
    [InlineData(1000, "sine", 1.0275, 0.6924)]
    [InlineData(1000, "rectified", 0.6855, 0.4616)]
    [InlineData(1000, "square", 1.3083, 0.8815)]
    [InlineData(1000, "pulse25", 1.9657, 1.2493)]
    [InlineData(1000, "pulse10", 2.3521, 1.3707)]
    [InlineData(1000, "pulse75", 0.6552, 0.4164)]
    [InlineData(2000, "sine", 1.0002, 0.2647)]
    [InlineData(2000, "rectified", 0.6668, 0.1765)]
    [InlineData(2000, "square", 1.2734, 0.3370)]
    [InlineData(2000, "pulse25", 1.8009, 0.4766)]
    [InlineData(2000, "pulse10", 1.9676, 0.5207)]
    [InlineData(2000, "pulse75", 0.6003, 0.1589)]
    public void Worked_values(double hz, string wave, double first, double second)
    {
        (double, double)[] tones = [.. Enumerable.Range(1, 60).Select(m => (hz * m, SeriesOf.Of(wave, m)))];
        Assert.Equal(first, StroboscopicVisibility.Of(tones, StroboscopicThreshold.Cie2016), 1e-3);
        Assert.Equal(second, StroboscopicVisibility.Of(tones, StroboscopicThreshold.Perz2018), 1e-3);
    }

    [Fact]
    public void Two_tones_add_by_the_power_of_three_point_seven() =>
        Assert.Equal(1.1721, StroboscopicVisibility.Of([(100, 0.30), (200, 0.10)], StroboscopicThreshold.Cie2016), 1e-4);

    [Theory] // Sine depth for SVM 0.4, 0.9, 1.0, 1.6 with T1, recomputed. 0.9 and 0.4: Regulation (EU) 2021/341, Annex IV.
    [InlineData(100, 0.1025, 0.4)]
    [InlineData(100, 0.2306, 0.9)]
    [InlineData(100, 0.2563, 1.0)]
    [InlineData(100, 0.4100, 1.6)]
    [InlineData(120, 0.1103, 0.4)]
    [InlineData(120, 0.2481, 0.9)]
    [InlineData(120, 0.2757, 1.0)]
    [InlineData(120, 0.4411, 1.6)]
    public void Sine_depths_for_the_usual_lines(double hz, double depth, double measure) =>
        Assert.Equal(measure, StroboscopicVisibility.Of([(hz, depth)], StroboscopicThreshold.Cie2016), 1e-3);

    [Fact]
    public void What_lies_outside_the_range_does_not_count() =>
        Assert.Equal(0, StroboscopicVisibility.Of([(79.9, 1), (2000.1, 1)], StroboscopicThreshold.Cie2016));
}
