using FlickerProbe.Light;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

public class WaveformTests
{
    // Definitions: Illuminating Engineering Society 5.9.9.2 and 5.9.9.4. Flicker indices: closed forms, recomputed independently.
    public static TheoryData<string, double, double> Figures => new()
    {
        { "sine", 1, 0.318310 },
        { "sine50", 0.5, 0.159155 },
        { "sine10", 0.1, 0.031831 },
        { "rectified", 1, 0.210514 },
        { "half-wave", 1, 0.551102 },
        { "triangle", 1, 0.25 },
        { "sawtooth", 1, 0.25 },
        { "square", 1, 0.5 },
        { "square 0.5/1", 0.333333, 0.166667 },
        { "pulse10", 1, 0.90 },
        { "pulse25", 1, 0.75 },
        { "pulse75", 1, 0.25 },
        { "pulse90", 1, 0.10 },
        { "pulse25 0.2/1", 0.666667, 0.375 },
    };

    private static double Value(string wave, double x) => wave switch
    {
        "sine" => 1 + Math.Sin(2 * Math.PI * x),
        "sine50" => 1 + 0.5 * Math.Sin(2 * Math.PI * x),
        "sine10" => 1 + 0.1 * Math.Sin(2 * Math.PI * x),
        "rectified" => Math.Abs(Math.Sin(Math.PI * x)),
        "half-wave" => Math.Max(0, Math.Sin(2 * Math.PI * x)),
        "triangle" => 1 - Math.Abs(2 * x - 1),
        "sawtooth" => x,
        "square" => x < 0.5 ? 1 : 0,
        "square 0.5/1" => x < 0.5 ? 1 : 0.5,
        "pulse10" => x < 0.10 ? 1 : 0,
        "pulse25" => x < 0.25 ? 1 : 0,
        "pulse75" => x < 0.75 ? 1 : 0,
        "pulse90" => x < 0.90 ? 1 : 0,
        "pulse25 0.2/1" => x < 0.25 ? 1 : 0.2,
        _ => throw new ArgumentOutOfRangeException(nameof(wave)),
    };

    [Theory]
    [MemberData(nameof(Figures))]
    public void Depth_and_flicker_index_of_the_classic_waveforms(string name, double depth, double index)
    {
        double[] wave = [.. Enumerable.Range(0, 20_000).Select(i => Value(name, i / 20_000.0))];
        Assert.Equal(depth, Waveform.ModulationDepth(wave), 1e-4);
        Assert.Equal(index, Waveform.FlickerIndex(wave), 1e-4);
    }

    [Fact]
    public void A_sum_of_cosines_is_the_waveform_it_came_from()
    {
        double[] triangle = Waveform.Sample([.. Enumerable.Range(0, 60).Select(i => 2 * i + 1).Select(m => new Cosine(m, 8 / (Math.PI * Math.PI * m * m), Math.PI))]);
        for (int i = 0; i < triangle.Length; i++)
            Assert.Equal(2 * Value("triangle", (double)i / triangle.Length), triangle[i], 0.005);
        Assert.Equal(0.25, Waveform.FlickerIndex(triangle), 1e-3);
        Assert.Equal(1, Waveform.ModulationDepth(triangle), 0.01);
    }

    [Fact]
    public void Light_never_counts_as_negative()
    {
        Assert.Equal(1, Waveform.ModulationDepth(2.2, -0.1));
        Assert.Equal(0, Waveform.ModulationDepth(1, 1));
        Assert.Equal(0, Waveform.ModulationDepth([]));
    }
}
