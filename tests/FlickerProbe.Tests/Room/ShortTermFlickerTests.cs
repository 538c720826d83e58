using System.Numerics;
using FlickerProbe.Room;
using Xunit;

namespace FlickerProbe.Tests.Room;

public class ShortTermFlickerTests
{
    /// <summary>Largest sensation of a weighted sine: mean S·A²/2 and its ripple at twice the frequency after the 0.3 s low-pass.</summary>
    private static double LargestSensation(double weightedAmplitude, double hz, double scale) =>
        scale * weightedAmplitude * weightedAmplitude / 2 * (1 + 1 / (new Complex(1, 2 * Math.PI * 2 * hz * 0.3)).Magnitude);

    [Theory] // IEC 61000-4-15 Ed. 2 Tables 1a/1b: sine changes ΔV/V in per cent for a largest sensation of 1 (230 V 50 Hz, 120 V 60 Hz).
    [InlineData(0.5, 2.326, 2.454)]
    [InlineData(1, 1.397, 1.465)]
    [InlineData(1.5, 1.067, 1.126)]
    [InlineData(2, 0.879, 0.942)]
    [InlineData(2.5, 0.747, 0.815)]
    [InlineData(3, 0.645, 0.717)]
    [InlineData(3.5, 0.564, 0.637)]
    [InlineData(4, 0.497, 0.570)]
    [InlineData(4.5, 0.442, 0.514)]
    [InlineData(5, 0.396, 0.466)]
    [InlineData(5.5, 0.357, 0.426)]
    [InlineData(6, 0.325, 0.393)]
    [InlineData(6.5, 0.300, 0.366)]
    [InlineData(7, 0.280, 0.346)]
    [InlineData(7.5, 0.265, 0.332)]
    [InlineData(8, 0.256, 0.323)]
    [InlineData(8.8, 0.250, 0.321)]
    [InlineData(9.5, 0.254, 0.329)]
    [InlineData(10, 0.261, 0.341)]
    [InlineData(10.5, 0.271, 0.355)]
    [InlineData(11, 0.283, 0.373)]
    [InlineData(11.5, 0.298, 0.394)]
    [InlineData(12, 0.314, 0.417)]
    [InlineData(13, 0.351, 0.469)]
    [InlineData(14, 0.393, 0.528)]
    [InlineData(15, 0.438, 0.592)]
    [InlineData(16, 0.486, 0.660)]
    [InlineData(17, 0.537, 0.734)]
    [InlineData(18, 0.590, 0.811)]
    [InlineData(19, 0.646, 0.892)]
    [InlineData(20, 0.704, 0.977)]
    [InlineData(21, 0.764, 1.067)]
    [InlineData(22, 0.828, 1.160)]
    [InlineData(23, 0.894, 1.257)]
    [InlineData(24, 0.964, 1.359)]
    [InlineData(25, 1.037, 1.464)]
    [InlineData(33.333333, 2.128, 2.570)]
    public void Voltage_weighting_gives_the_standards_sine_tables(double hz, double change230, double change120)
    {
        // Both columns are referred to the 230 V value at 8.8 Hz, whose amplitude on the squared, normalised voltage is ΔV/V itself.
        double reference = LargestSensation(0.0025 * FlickerWeighting.Voltage(8.8, FlickerWeighting.Lamp230V).Magnitude, 8.8, 1);
        double At(FlickerWeighting.Lamp lamp, double change) => LargestSensation(change / 100 * FlickerWeighting.Voltage(hz, lamp).Magnitude, hz, 1) / reference;
        Assert.Equal(1, At(FlickerWeighting.Lamp230V, change230), 0.012);
        double reference120 = LargestSensation(0.00321 * FlickerWeighting.Voltage(8.8, FlickerWeighting.Lamp120V).Magnitude, 8.8, 1);
        Assert.Equal(1, LargestSensation(change120 / 100 * FlickerWeighting.Voltage(hz, FlickerWeighting.Lamp120V).Magnitude, hz, 1) / reference120, 0.012);
    }

    [Fact] // Recomputed from the coefficients, which stand in analyser manuals.
    public void Weighting_at_its_reference_point()
    {
        Assert.Equal(1.001714, FlickerWeighting.Eye(8.8, FlickerWeighting.Lamp230V).Magnitude, 1e-5);
        Assert.Equal(0.782615, FlickerWeighting.Eye(8.8, FlickerWeighting.Lamp120V).Magnitude, 1e-5);
    }

    [Fact]
    public void The_voltage_scale_gives_one_at_the_reference() =>
        Assert.Equal(1, LargestSensation(0.0025 * FlickerWeighting.Voltage(8.8, FlickerWeighting.Lamp230V).Magnitude, 8.8, ShortTermFlicker.VoltageScale), 2e-3);

    [Theory] // Weighting for light, from memory of IEC TR 61547-1; consistent with the 230 V filter (next test).
    [InlineData(0.5, 0.02544)]
    [InlineData(1, 0.04589)]
    [InlineData(5, 0.2079)]
    [InlineData(8.8, 0.4214)]
    [InlineData(10, 0.43642)]
    [InlineData(20, 0.2766)]
    [InlineData(33.333333, 0.18469)]
    [InlineData(60, 0.1146)]
    public void Light_weighting(double hz, double gain) => Assert.Equal(gain, FlickerWeighting.LightEye(hz).Magnitude, 1e-4);

    [Theory] // Voltage weighting over light weighting is a lamp: 3.570 / ((1 + 0.020211 s)(1 + 0.00098957 s)).
    [InlineData(1)]
    [InlineData(8.8)]
    [InlineData(25)]
    public void Voltage_weighting_is_light_weighting_behind_a_lamp(double hz)
    {
        Complex s = new(0, 2 * Math.PI * hz);
        Complex lamp = 3.570 / ((1 + 0.020211 * s) * (1 + 0.00098957 * s));
        Assert.Equal(FlickerWeighting.Eye(hz, FlickerWeighting.Lamp230V).Magnitude, (FlickerWeighting.LightEye(hz) * lamp).Magnitude, 2e-3);
    }

    [Theory] // Rectangular changes for Pst = 1: IEC 61000-4-15 Ed. 2 Table 5 (230 V from memory, confirmed by an independent simulation to 0.1 %; tolerance 5 %).
    [InlineData(1, 2.715)]
    [InlineData(2, 2.191)]
    [InlineData(7, 1.450)]
    [InlineData(39, 0.894)]
    [InlineData(110, 0.722)]
    [InlineData(1620, 0.407)]
    [InlineData(4000, 2.343)]
    public void Rectangular_voltage_changes_of_table_5(double changesPerMinute, double changePercent)
    {
        double hz = changesPerMinute / 120, half = changePercent / 200;
        // Squared voltage, normalised: a rectangle around 1 + half² with amplitude 2·half.
        double amplitude = 2 * half / (1 + half * half);
        List<(double, Complex)> tones = [];
        for (int m = 1; m * hz < 100 && m < 2000; m += 2)
            tones.Add((m * hz, new Complex(0, -4 / (Math.PI * m) * amplitude) * FlickerWeighting.Voltage(m * hz, FlickerWeighting.Lamp230V)));
        double seconds = Math.Max(2, Math.Ceiling(20 * hz)) / hz;
        double severity = ShortTermFlicker.Severity(ShortTermFlicker.Sensation(tones, ShortTermFlicker.VoltageScale, seconds));
        // Well within the standard's own 5 %: at one change a minute the series is cut at 17 Hz, which costs 1.4 %.
        Assert.Equal(1, severity, 0.02);
    }

    [Theory] // Sine light for a largest sensation of 1; recomputed independently, reference 0.2971 % at 8.8 Hz. Holds to ± 6 % of the standard itself.
    [InlineData(0.5, 4.1428)]
    [InlineData(1, 2.4735)]
    [InlineData(2, 1.5204)]
    [InlineData(3, 1.0758)]
    [InlineData(5, 0.5957)]
    [InlineData(7, 0.3731)]
    [InlineData(8.8, 0.2971)]
    [InlineData(10, 0.2874)]
    [InlineData(13.5, 0.3329)]
    [InlineData(20, 0.4567)]
    [InlineData(25, 0.5497)]
    [InlineData(33.333333, 0.8552)]
    [InlineData(40, 1.9406)]
    public void Sine_light_of_sensation_one(double hz, double depthPercent)
    {
        double weighted = depthPercent / 100 * FlickerWeighting.Light(hz).Magnitude;
        double reference = 0.2971 / 100 * FlickerWeighting.Light(8.8).Magnitude;
        Assert.Equal(1, LargestSensation(weighted, hz, 1) / LargestSensation(reference, 8.8, 1), 2e-3);
    }

    [Theory] // Sine light for PstLM = 1, low-pass kept; recomputed independently. Holds to ± 6 % of the standard itself (two scales are in circulation).
    [InlineData(0.5, 6.0025)]
    [InlineData(1, 3.5396)]
    [InlineData(2, 2.1557)]
    [InlineData(3, 1.5196)]
    [InlineData(5, 0.8389)]
    [InlineData(7, 0.5246)]
    [InlineData(8.8, 0.4175)]
    [InlineData(10, 0.4037)]
    [InlineData(13.5, 0.4673)]
    [InlineData(20, 0.6407)]
    [InlineData(25, 0.7709)]
    [InlineData(33.333333, 1.1990)]
    [InlineData(40, 2.7203)]
    public void Sine_light_of_severity_one(double hz, double depthPercent) =>
        Assert.Equal(1, ShortTermFlicker.OfLight([(hz, depthPercent / 100, 0)], Math.Ceiling(20 * hz) / hz), 0.004);

    [Theory] // Square light for PstLM = 1, low-pass kept; recomputed independently.
    [InlineData(0.5, 1.1046)]
    [InlineData(1, 0.9437)]
    [InlineData(2, 0.7633)]
    [InlineData(3, 0.6506)]
    [InlineData(5, 0.5541)]
    [InlineData(7, 0.3942)]
    [InlineData(8.8, 0.3222)]
    [InlineData(10, 0.3137)]
    [InlineData(13.5, 0.3667)]
    [InlineData(20, 0.5031)]
    [InlineData(25, 0.6053)]
    [InlineData(33.333333, 0.9412)]
    [InlineData(40, 2.1351)]
    public void Square_light_of_severity_one(double hz, double depthPercent) =>
        Assert.Equal(1, ShortTermFlicker.OfLight(Enumerable.Range(0, 60).Select(i => 2 * i + 1).Where(m => m * hz < 120)
            .Select(m => (m * hz, 4 / (Math.PI * m) * depthPercent / 100, -Math.PI / 2)), Math.Ceiling(20 * hz) / hz), 0.006);

    [Fact] // Sum of the classifier's weights 0.5096: recomputed.
    public void A_steady_sensation_of_one_is_a_severity_of_0_7139()
    {
        Assert.Equal(0.713863, ShortTermFlicker.Severity([.. Enumerable.Repeat(1.0, 5000)]), 1e-6);
        Assert.Equal(1, ShortTermFlicker.Severity([.. Enumerable.Repeat(1.962323, 5000)]), 1e-6);
    }
}
