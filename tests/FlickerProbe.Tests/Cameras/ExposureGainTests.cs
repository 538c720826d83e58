using FlickerProbe.Camera;
using FlickerProbe.Tests.References;

namespace FlickerProbe.Tests.Cameras;

public class ExposureGainTests
{
    [Fact]
    public void Published_values_of_the_box_filter()
    {
        foreach ((double exposure, double[] gains) in ExposureGainValues.Rows)
        {
            for (int i = 0; i < gains.Length; i++) Assert.Equal(gains[i], Math.Abs(ExposureGain.At(ExposureGainValues.Hertz[i], exposure)), 6e-7);
        }
    }

    [Theory]
    [InlineData(437, 0.0011)]
    [InlineData(120, 1.0 / 60)]
    [InlineData(150, 0.01)] // upside down
    [InlineData(0.3, 0.004)]
    public void It_is_the_average_of_a_cosine_over_the_exposure(double hertz, double exposure)
    {
        const int Moments = 200_000;
        double sum = 0;
        for (int i = 0; i < Moments; i++) sum += Math.Cos(2 * Math.PI * hertz * exposure * ((i + 0.5) / Moments - 0.5));
        Assert.Equal(sum / Moments, ExposureGain.At(hertz, exposure), 1e-9);
    }

    [Fact]
    public void It_is_upside_down_between_the_first_and_the_second_null()
    {
        Assert.Equal(-2 / (3 * Math.PI), ExposureGain.At(150, 0.01), 1e-12); // sin(1.5π)/(1.5π)
        // The deepest: tan x = x at x = 4.493409, where sin x / x = −0.217234 (Abramowitz & Stegun, table 10.6, spherical Bessel j₀).
        Assert.Equal(-0.217234, Enumerable.Range(1000, 1000).Min(i => ExposureGain.At(i / 10.0, 0.01)), 1e-6);
    }

    [Fact]
    public void The_series_near_zero_joins_the_closed_form()
    {
        double below = 0.99e-4 / Math.PI, above = 1.01e-4 / Math.PI;
        Assert.Equal(ExposureGain.At(below, 1), ExposureGain.At(above, 1), 1e-10);
        Assert.Equal(1, ExposureGain.At(0, 0.01));
        Assert.Equal(ExposureGain.SlopePerRelativeExposure(below, 1) * 1.01 * 1.01 / (0.99 * 0.99), ExposureGain.SlopePerRelativeExposure(above, 1), 1e-13);
    }

    [Theory]
    [InlineData(100, 0.004)]
    [InlineData(120, 1.0 / 60)]
    [InlineData(1000, 0.0137)]
    public void The_slope_is_that_of_a_small_step_of_exposure(double hertz, double exposure)
    {
        double step = (ExposureGain.At(hertz, exposure * 1.000001) - ExposureGain.At(hertz, exposure * 0.999999)) / 2e-6;
        Assert.Equal(step, ExposureGain.SlopePerRelativeExposure(hertz, exposure), 1e-7);
    }

    [Theory] // Near a null a relative error e of the rate leaves about |e|, whichever null it is; recomputed from the formula.
    [InlineData(2e-4, 2.0e-4)]
    [InlineData(1e-3, 9.99e-4)]
    [InlineData(1e-2, 9.90e-3)]
    public void Mains_off_their_rate_leak_through_a_null_by_that_share(double relative, double leak)
    {
        foreach (double exposure in new[] { 1.0 / 100, 1.0 / 50, 1.0 / 25 })
            Assert.Equal(leak, Math.Abs(ExposureGain.At(100 * (1 + relative), exposure)), 0.02 * leak);
    }

    [Fact]
    public void No_light_faster_than_a_rate_shows_more_than_the_envelope()
    {
        foreach (double hertz in new[] { 50.0, 100, 731, 9000 })
        {
            double bound = ExposureGain.Envelope(hertz, 1.0 / 120);
            double most = Enumerable.Range(0, 20_000).Max(i => Math.Abs(ExposureGain.At(hertz * (1 + i * 0.001), 1.0 / 120)));
            Assert.InRange(most, 0, bound);
            Assert.True(hertz < 120 || most > 0.8 * bound); // and the bound is not idle
        }
    }

    [Theory] // Shutter angles free of flicker, 360° · F · n / f; common practice of the trade, recomputed.
    [InlineData("24", 100, "86.4 172.8 259.2 345.6")]
    [InlineData("24", 120, "72 144 216 288 360")]
    [InlineData("25", 120, "75 150 225 300")]
    [InlineData("29.97", 100, "107.8921 215.7842 323.6763")]
    [InlineData("30", 100, "108 216 324")]
    [InlineData("59.94", 100, "215.7842")]
    [InlineData("23.976", 100, "86.3137 172.6274")]
    [InlineData("23.976", 120, "71.9281 143.8561 359.6404")]
    public void Flicker_free_angles_let_nothing_through(string rate, double hertz, string degrees)
    {
        foreach (string angle in degrees.Split(' '))
            Assert.InRange(Math.Abs(ExposureGain.At(hertz, ExposureTime.Parse(angle + "deg", FrameRate.Parse(rate)).Seconds)), 0, 1e-6);
    }
}
