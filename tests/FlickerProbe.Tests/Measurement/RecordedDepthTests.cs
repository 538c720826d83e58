using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Measurement;

/// <summary>How deep the tones are together, where they can't be sorted into the lights that they are of.</summary>
public class RecordedDepthTests
{
    private const double PulseHz = 249.994, RippleHz = 119.914, ExposureSeconds = 0.0041708;

    /// <summary>At 59.94 frames a second this ripple moves by a thirtieth of a cycle a second: each overtone of the pulses and its two sums lie within one cell of the clip.</summary>
    [Theory]
    [InlineData(0.07, 60)]
    [InlineData(0.07, 102)]
    [InlineData(0.2, 80)]
    [InlineData(0.2, 140)]
    public void Overtones_and_sums_that_cannot_be_sorted_are_not_taken_for_lights_that_add_up(double ripple, int rows)
    {
        var scene = new SyntheticTake
        {
            Light = Waveform.Tones(Tones(ripple)), Rate = "60000/1001", ExposureSeconds = ExposureSeconds, ReadoutSeconds = 0.0070338,
            Frames = 311, Rows = rows, FirstRow = 30, CodedHeight = 180, RowNoise = 0.003,
        };
        TakeMeasurement take = Judged.Of(scene).Take;

        double truth = Depth(ripple);
        Estimate depth = take.ModulationDepth!.Value;
        Assert.True(depth.Holds(truth), $"{depth} of {truth}");
        Assert.InRange(depth.Value, 0.9 * truth, 1.2 * truth);
        Assert.Contains(take.DepthParts, part => part.Cause == "unsorted tones");
    }

    /// <summary>Two lights of their own rates do add up: their phases meet in every way sooner or later.</summary>
    [Fact]
    public void Two_lights_add_up()
    {
        var scene = new SyntheticTake { Light = Waveform.Tones((110.3, 0.2, 0), (437.2, 0.1, 1)) };
        TakeMeasurement take = Judged.Of(scene).Take;
        Assert.True(take.ModulationDepth!.Value.Holds(scene.TrueDepth(scene.ExposureSeconds)));
        Assert.DoesNotContain(take.DepthParts, part => part.Cause == "unsorted tones");
    }

    /// <summary>Pulses of a twelfth of their period on a rippling supply, as far as twelve overtones make them.</summary>
    private static double Pulse(int overtone) => 2 * Math.Sin(Math.PI * overtone / 12) / (Math.PI * overtone / 12) * 0.9;

    private static (double, double, double)[] Tones(double ripple)
    {
        List<(double, double, double)> tones = [(RippleHz, ripple, 0.3)];
        for (int k = 1; k <= 12; k++)
        {
            tones.Add((k * PulseHz, Pulse(k), 0.5 * k));
            tones.Add((k * PulseHz + RippleHz, Pulse(k) * ripple / 2, 0.5 * k + 0.3));
            tones.Add((k * PulseHz - RippleHz, Pulse(k) * ripple / 2, 0.5 * k - 0.3));
        }
        return [.. tones];
    }

    /// <summary>(max − min)/(max + min) over all phases of the two rhythms, each term weakened by the shutter as sin(πfτ)/(πfτ).</summary>
    private static double Depth(double ripple)
    {
        static double Gain(double hertz) => Math.Sin(Math.PI * hertz * ExposureSeconds) / (Math.PI * hertz * ExposureSeconds);
        double lowest = 1, highest = 1;
        for (int p = 0; p < 240; p++)
        {
            for (int q = 0; q < 48; q++)
            {
                double pulses = 2 * Math.PI * p / 240, slow = 2 * Math.PI * q / 48, light = 1 + ripple * Gain(RippleHz) * Math.Cos(slow);
                for (int k = 1; k <= 12; k++)
                {
                    light += Pulse(k) * Gain(k * PulseHz) * Math.Cos(k * pulses) + Pulse(k) * ripple / 2 *
                        (Gain(k * PulseHz + RippleHz) * Math.Cos(k * pulses + slow) + Gain(k * PulseHz - RippleHz) * Math.Cos(k * pulses - slow));
                }
                (lowest, highest) = (Math.Min(lowest, light), Math.Max(highest, light));
            }
        }
        return (highest - lowest) / (highest + lowest);
    }
}
