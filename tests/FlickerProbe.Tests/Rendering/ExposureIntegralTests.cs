using FlickerProbe.Rendering.Light;
using Xunit;

namespace FlickerProbe.Tests.Rendering;

/// <summary>The closed-form exposure integrals against two slower ways to the same number.</summary>
public class ExposureIntegralTests
{
    private static readonly TonesLight Ripple = new()
    {
        FundamentalHz = 120,
        Harmonics = [new Harmonic(1, 0.08, 0.3), new Harmonic(2, 0.02, 1.1), new Harmonic(3, 0.005, 2)],
    };

    public static TheoryData<string, Waveform> Waveforms => new()
    {
        { "steady", new SteadyLight { Output = 0.7 } },
        { "sine", Waveform.Sine(1000.3, 0.5, 0.4) },
        { "series", Ripple },
        { "unrelated tones", Waveform.Tones((100, 0.1, 0), (333.7, 0.2, 1), (2000.1, 0.05, 2)) },
        { "upright pulse", new PulseLight { FrequencyHz = 325, Duty = 0.37, Low = 0.1, PhaseCycles = 0.81 } },
        { "pulse with edges", new PulseLight { FrequencyHz = 2040, Duty = 0.1, EdgeSeconds = 20e-6, PhaseCycles = 0.3 } },
        { "full duty", new PulseLight { FrequencyHz = 500, Duty = 1, High = 0.8 } },
        { "polyline", new PolylineLight { FrequencyHz = 100, Points = [new(0.1, 0.2), new(0.4, 1), new(0.4, 0.5), new(0.9, 0.4)] } },
        { "rectified", new RectifiedLight { MainsHz = 50, PhaseCycles = 0.17 } },
        { "half waves", new RectifiedLight { MainsHz = 60, FullWave = false, PhaseCycles = 0.6 } },
        { "ripple × pulse", Ripple.Times(new PulseLight { FrequencyHz = 2040, Duty = 0.25, EdgeSeconds = 8e-6, PhaseCycles = 0.2 }) },
        { "ripple × pulse at a multiple", Ripple.Times(new PulseLight { FrequencyHz = 1200, Duty = 0.25, PhaseCycles = 0.2 }) },
        { "ripple × pulse at its own rate", Ripple.Times(new PulseLight { FrequencyHz = 120, Duty = 0.5, PhaseCycles = 0.9 }) },
        { "ripple × slow pulse", Ripple.Times(new PulseLight { FrequencyHz = 60, Duty = 0.3 }) },
        { "scaled", Ripple.Times(0.25) },
        { "rectified × pulse", new RectifiedLight { MainsHz = 50 }.Times(new PulseLight { FrequencyHz = 1000, Duty = 0.4 }) },
        { "half waves × pulse", new RectifiedLight { MainsHz = 60, FullWave = false, PhaseCycles = 0.7 }.Times(new PulseLight { FrequencyHz = 325, Duty = 0.4, PhaseCycles = 0.1 }) },
        { "pulse × pulse", new PulseLight { FrequencyHz = 325, Duty = 0.4, Low = 0.2 }.Times(new PulseLight { FrequencyHz = 2000, Duty = 0.6 }) },
        { "sum of drivers", new SumLight { Parts = [Ripple, new PulseLight { FrequencyHz = 410, Duty = 0.5 }] } },
    };

    [Theory]
    [MemberData(nameof(Waveforms))]
    public void The_closed_form_equals_quadrature_between_the_breaks(string name, Waveform waveform)
    {
        LightAnalysis light = LightAnalysis.Of(waveform);
        foreach (double exposure in new[] { 1e-5, 1.0 / 2000, 1.0 / 250, 1.0 / 120, 1.0 / 50, 1.0 / 24 })
        {
            foreach (double centre in new[] { 0.0, 0.00137, 0.5001, 4.98765 })
            {
                double fast = light.ExposureAverage(centre, exposure), slow = light.ExposureAverageByPieces(centre, exposure);
                // A break that falls on either side of an end by rounding moves a pulse by that rounding over the exposure.
                Assert.True(Math.Abs(fast - slow) < 1e-11 + 2e-15 / exposure, $"{name}, {exposure} s at {centre} s: {fast} against {slow}");
            }
        }
    }

    [Theory]
    [MemberData(nameof(Waveforms))]
    public void The_exposure_average_is_the_average_of_a_hundred_thousand_moments(string name, Waveform waveform)
    {
        const int Moments = 100_000;
        LightAnalysis light = LightAnalysis.Of(waveform);
        const double Exposure = 1 / 90.0, Centre = 1.23456;
        double sum = 0;
        for (int i = 0; i < Moments; i++) sum += light.At(Centre + ((i + 0.5) / Moments - 0.5) * Exposure);
        // Every upright edge may be misplaced by half a moment; there are at most 60 of them.
        Assert.True(Math.Abs(sum / Moments - light.ExposureAverage(Centre, Exposure)) < 60 * 0.5 / Moments, name);
    }

    [Theory]
    [MemberData(nameof(Waveforms))]
    public void The_mean_is_that_of_a_long_exposure(string name, Waveform waveform)
    {
        LightAnalysis light = LightAnalysis.Of(waveform);
        // Over T the average of a tone of frequency f strays by at most 1/(πfT).
        Assert.True(Math.Abs(light.Mean - light.ExposureAverage(3, 5)) < 1e-3, $"{name}: {light.Mean} against {light.ExposureAverage(3, 5)}");
    }

    [Fact]
    public void A_drifting_mains_carries_its_ripple_along()
    {
        MainsSupply mains = new() { NominalHz = 50, OffsetHz = 0.02, Swings = [new MainsSwing(0.05, 7, 0.4)] };
        // The own time is the integral of the rate.
        double sum = 0;
        const int Steps = 200_000;
        for (int i = 0; i < Steps; i++) sum += mains.Rate((i + 0.5) / Steps * 3.3) * 3.3 / Steps;
        Assert.Equal(sum, mains.OwnTime(3.3), 1e-10);
    }
}
