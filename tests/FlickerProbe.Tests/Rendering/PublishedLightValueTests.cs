using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Truth;
using Xunit;

namespace FlickerProbe.Tests.Rendering;

/// <summary>
/// Modulation depth, flicker index, harmonics, exposure gain and pulse trains against closed forms. Definitions:
/// percent flicker and flicker index as in ANSI/IES LS-1 [5.9.9.2, 5.9.9.4]; flicker index over whole periods, IEV 845-22-094.
/// </summary>
public class PublishedLightValueTests
{
    public static TheoryData<string, Waveform, double, double> DepthAndIndex => new()
    {
        // Sine of depth m: FI = m/π. Rectangle: FI = d(1−d)(hi−lo)/mean. |sin| and half wave: integrals of the definition.
        { "sine 100 %", Waveform.Sine(100, 1), 1, 0.318310 },
        { "sine 50 %", Waveform.Sine(100, 0.5), 0.5, 0.159155 },
        { "sine 10 %", Waveform.Sine(100, 0.1), 0.1, 0.031831 },
        { "|sin|", new RectifiedLight { MainsHz = 50 }, 1, 0.210514 },
        { "half waves", new RectifiedLight { MainsHz = 50, FullWave = false }, 1, 0.551102 },
        { "triangle", new PolylineLight { FrequencyHz = 100, Points = [new(0, 0), new(0.5, 1)] }, 1, 0.25 },
        { "sawtooth", new PolylineLight { FrequencyHz = 100, Points = [new(0, 0), new(1, 1)] }, 1, 0.25 },
        { "square", new PulseLight { FrequencyHz = 100, Duty = 0.5 }, 1, 0.5 },
        { "square 0.5…1", new PulseLight { FrequencyHz = 100, Duty = 0.5, Low = 0.5 }, 1 / 3.0, 1 / 6.0 },
        { "pulse 10 %", new PulseLight { FrequencyHz = 100, Duty = 0.1 }, 1, 0.9 },
        { "pulse 25 %", new PulseLight { FrequencyHz = 100, Duty = 0.25 }, 1, 0.75 },
        { "pulse 75 %", new PulseLight { FrequencyHz = 100, Duty = 0.75 }, 1, 0.25 },
        { "pulse 90 %", new PulseLight { FrequencyHz = 100, Duty = 0.9 }, 1, 0.1 },
        { "pulse 25 %, 0.2…1", new PulseLight { FrequencyHz = 100, Duty = 0.25, Low = 0.2 }, 2 / 3.0, 0.375 },
    };

    [Theory]
    [MemberData(nameof(DepthAndIndex))]
    public void Depth_and_flicker_index_follow_the_definitions(string name, Waveform waveform, double depth, double index)
    {
        LightAnalysis light = LightAnalysis.Of(waveform);
        Assert.True(Math.Abs(light.ModulationDepth() - depth) < 1e-9, $"{name}: depth {light.ModulationDepth()}");
        Assert.True(Math.Abs(light.FlickerIndex() - index) < 2e-5, $"{name}: flicker index {light.FlickerIndex()}");
    }

    [Fact]
    public void Harmonics_follow_the_Fourier_series()
    {
        // Pulses: 2|sin(πmd)|/(πmd). |sin|: 2/(4m²−1). Triangle: 8/(π²m²), odd m.
        IReadOnlyList<LightComponent> pulse = LightAnalysis.Of(new PulseLight { FrequencyHz = 300, Duty = 0.25, PhaseCycles = 0.4 }).Components();
        foreach (int m in new[] { 1, 2, 3, 5 })
        {
            Assert.Equal(2 * Math.Abs(Math.Sin(Math.PI * m * 0.25)) / (Math.PI * m * 0.25), pulse.Single(c => Math.Abs(c.FrequencyHz - 300 * m) < 1e-6).Amplitude, 1e-9);
        }

        Assert.DoesNotContain(pulse, c => Math.Abs(c.FrequencyHz - 1200) < 1);
        IReadOnlyList<LightComponent> sine = LightAnalysis.Of(new RectifiedLight { MainsHz = 50 }).Components();
        Assert.Equal(100, sine[0].FrequencyHz, 1e-9);
        Assert.Equal(2 / 3.0, sine[0].Amplitude, 1e-9);
        Assert.Equal(2 / 15.0, sine[1].Amplitude, 1e-9);
        Assert.Equal(2 / 35.0, sine[2].Amplitude, 1e-9);
        IReadOnlyList<LightComponent> triangle = LightAnalysis.Of(new PolylineLight { FrequencyHz = 100, Points = [new(0, 0), new(0.5, 1)] }).Components();
        Assert.Equal(8 / (Math.PI * Math.PI), triangle[0].Amplitude, 1e-9);
        Assert.Equal(8 / (Math.PI * Math.PI * 9), triangle[1].Amplitude, 1e-9);
    }

    [Fact]
    public void A_product_has_lines_at_sums_and_differences()
    {
        Waveform light = Waveform.Sine(120, 0.1, 0.5).Times(new PulseLight { FrequencyHz = 2000, Duty = 0.5, PhaseCycles = 0.1 });
        IReadOnlyList<LightComponent> lines = LightAnalysis.Of(light).Components();
        Assert.Equal(4 / Math.PI, lines.Single(c => Math.Abs(c.FrequencyHz - 2000) < 1e-6).Amplitude, 1e-9);
        Assert.Equal(0.1, lines.Single(c => Math.Abs(c.FrequencyHz - 120) < 1e-6).Amplitude, 1e-9);
        Assert.Equal(0.1 / 2 * 4 / Math.PI, lines.Single(c => Math.Abs(c.FrequencyHz - 1880) < 1e-6).Amplitude, 1e-9);
        Assert.Equal(0.1 / 2 * 4 / Math.PI, lines.Single(c => Math.Abs(c.FrequencyHz - 2120) < 1e-6).Amplitude, 1e-9);
    }

    // Box filter |sinc(f·Te)|, rounded to six places; rows: exposure, 100, 120, 200, 240, 1000 Hz.
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
    [InlineData(1.0 / 250, .756827, .661837, .233872, .041557, 0)]
    [InlineData(1.0 / 1000, .983632, .976481, .935489, .907909, 0)]
    [InlineData(1.0 / 2000, .995893, .994089, .983632, .976481, .636620)]
    public void Exposure_gain_and_the_exposed_depth_of_a_sine_agree(double exposure, double at100, double at120, double at200, double at240, double at1000)
    {
        (double Hz, double Gain)[] row = [(100, at100), (120, at120), (200, at200), (240, at240), (1000, at1000)];
        foreach ((double hz, double gain) in row)
        {
            Assert.Equal(gain, Math.Abs(TruthFinder.ExposureGain(hz, exposure)), 6e-7);
            Assert.Equal(0.5 * gain, LightAnalysis.Of(Waveform.Sine(hz, 0.5)).OnCameraDepth(exposure), 4e-7);
        }
    }

    // Pulses of duty d through an exposure of N = f·Te = n + r periods, worst phase:
    // max = nd + min(r, d), min = nd + max(0, r + d − 1), depth = (max − min)/(max + min).
    [Theory]
    [InlineData(325, 0.5, 1.0 / 50, 0.07692)]
    [InlineData(325, 0.5, 1.0 / 60, 0.07692)]
    [InlineData(300, 0.5, 1.0 / 50, 0)]
    [InlineData(300, 0.5, 1.0 / 60, 0)]
    [InlineData(1000, 0.1, 1.0 / 48, 0.02439)]
    [InlineData(4000, 0.1, 1.0 / 48, 0.00599)]
    [InlineData(25000, 0.1, 1.0 / 48, 0.00096)]
    [InlineData(25000, 0.1, 1.0 / 2000, 0.04)]
    public void Exposed_pulses_have_the_depth_of_the_closed_form(double hz, double duty, double exposure, double rounded)
    {
        double periods = hz * exposure, n = Math.Floor(periods + 1e-9), r = Math.Max(0, periods - n);
        double max = n * duty + Math.Min(r, duty), min = n * duty + Math.Max(0, r + duty - 1);
        double closed = (max - min) / (max + min);
        Assert.Equal(rounded, closed, 6e-6);
        Assert.Equal(closed, LightAnalysis.Of(new PulseLight { FrequencyHz = hz, Duty = duty, PhaseCycles = 0.123 }).OnCameraDepth(exposure), 1e-9);
    }

    [Fact]
    public void Two_rates_meet_at_their_worst_even_if_rarely()
    {
        // Ripple m on pulses, each so short an exposure that it sees both at their extremes: (1+m)·1 and (1−m)·low.
        Waveform light = Waveform.Sine(120, 0.1).Times(new PulseLight { FrequencyHz = 2041.7, Duty = 0.5, Low = 0.4 });
        double expected = (1.1 - 0.9 * 0.4) / (1.1 + 0.9 * 0.4);
        Assert.Equal(expected, LightAnalysis.Of(light).OnCameraDepth(1e-7), 1e-6);
        // And over whole pulse periods only the ripple is left: 49 pulses are 24 ms.
        double exposure = 49 / 2041.7, gain = Math.Abs(TruthFinder.ExposureGain(120, exposure));
        Assert.InRange(LightAnalysis.Of(light).OnCameraDepth(exposure), 0.1 * gain * 0.95, 0.1 * gain * 1.05 + 1e-3);
    }

    [Theory]
    [InlineData(24000, 1001, 100, 4.095904, 120, 0.119880)]
    [InlineData(25, 1, 100, 0, 120, -5)]
    [InlineData(30000, 1001, 100, 10.089910, 120, 0.119880)]
    [InlineData(48, 1, 100, 4, 120, 24)]
    [InlineData(60000, 1001, 100, -19.880120, 120, 0.119880)]
    [InlineData(120000, 1001, 100, -19.880120, 120, 0.119880)]
    public void Aliases_keep_their_sign(long numerator, long denominator, double f1, double alias1, double f2, double alias2)
    {
        FrameRate rate = new(numerator, denominator);
        Assert.Equal(alias1, TruthFinder.AliasHz(f1, rate), 1e-6);
        Assert.Equal(alias2, TruthFinder.AliasHz(f2, rate), 1e-6);
    }
}
