using FlickerProbe.Camera;
using FlickerProbe.Prediction;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

/// <summary>What exposure and readout do to a tone, against closed forms and published readout times.</summary>
public class CameraGeometryTests
{
    // Box filter |sin(πfTₑ)/(πfTₑ)|: any text on sampling; recomputed to six places. Columns: exposure, 100, 120, 200, 240, 1000 Hz.
    [Theory]
    [InlineData(1.0 / 24, .038197, 0, .033080, 0, .006616)]
    [InlineData(1.0 / 25, 0, .038979, 0, .031534, 0)]
    [InlineData(1.0 / 48, .039545, .127324, .038197, 0, .007639)]
    [InlineData(1001.0 / 48000, .040469, .127193, .039021, .000999, .006751)]
    [InlineData(1.0 / 50, 0, .126138, 0, .038979, 0)]
    [InlineData(1.0 / 60, .165399, 0, .082699, 0, .016540)]
    [InlineData(1001.0 / 60000, .164732, .000999, .083112, .000999, .016001)]
    [InlineData(1.0 / 100, 0, .155915, 0, .126138, 0)]
    [InlineData(1.0 / 120, .190986, 0, .165399, 0, .033080)]
    [InlineData(1.0 / 125, .233872, .041557, .189207, .041229, 0)]
    [InlineData(1.0 / 200, .636620, .504551, 0, .155915, 0)]
    [InlineData(1.0 / 250, .756827, .661837, .233872, .041557, 0)]
    [InlineData(1.0 / 500, .935489, .907909, .756827, .661837, 0)]
    [InlineData(1.0 / 1000, .983632, .976481, .935489, .907909, 0)]
    [InlineData(1.0 / 2000, .995893, .994089, .983632, .976481, .636620)]
    public void The_exposure_keeps_its_share_of_a_tone(double exposure, double at100, double at120, double at200, double at240, double at1000)
    {
        (double Hz, double Gain)[] row = [(100, at100), (120, at120), (200, at200), (240, at240), (1000, at1000)];
        foreach ((double hz, double gain) in row) Assert.Equal(gain, Math.Abs(ExposureGain.At(hz, exposure)), 6e-7);
    }

    // Near a null a relative error e of the mains leaves about |e|, however many periods the shutter holds: recomputed.
    [Theory]
    [InlineData(0.0002, 2.0e-4)]
    [InlineData(0.001, 9.99e-4)]
    [InlineData(0.01, 9.90e-3)]
    public void Near_a_null_the_relative_error_is_what_is_left(double error, double left)
    {
        foreach (int periods in new[] { 1, 2, 5 }) Assert.Equal(left, Math.Abs(ExposureGain.At(100 * (1 + error), periods / 100.0)), 0.01 * left);
    }

    // Line delays of phone cameras at 720 rows as quoted in a public table after Ringaby & Forssén, IJCV 2011, and Oth et al., CVPR 2013; rows per cycle follow as 1/(f · line time).
    [Theory]
    [InlineData(20.85e-6, 479.62, 399.68)]
    [InlineData(28.72e-6, 348.19, 290.16)]
    [InlineData(43.6e-6, 229.36, 191.13)]
    public void Rows_per_cycle_follow_from_the_line_time(double rowSeconds, double rowsAt100, double rowsAt120)
    {
        double Rows(double hz)
        {
            CameraFormat format = TestLights.Format("30@1/1000") with { Readout = ReadoutTime.FromSeconds(720 * rowSeconds) };
            return 720 / Forecaster.Forecast(TestLights.Sine(hz, 0.5, TestLights.Take("30", 1 / 1000.0)), format).Bands!.Value;
        }
        Assert.Equal(rowsAt100, Rows(100), 0.01);
        Assert.Equal(rowsAt120, Rows(120), 0.01);
    }
}
