using FlickerProbe.Light;
using Xunit;

namespace FlickerProbe.Tests.Light;

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

    [Theory]
    [InlineData(1, 256), InlineData(4, 256), InlineData(5, 512), InlineData(100, 8192), InlineData(1_000_000, 8192)]
    public void Samples_suffice_for_the_highest_overtone(int highest, int samples)
    {
        Assert.Equal(samples, Waveform.SamplesFor(highest));
        Assert.Equal(samples, Waveform.Sample([new(1, 0.2, 0), new(highest, 0.1, 0)]).Length);
    }

    [Fact]
    public void Samples_begin_at_the_phase_and_turn_with_the_harmonic()
    {
        double[] wave = Waveform.Sample([new(2, 0.25, Math.PI / 3)], 12);
        Assert.Equal(12, wave.Length);
        for (int i = 0; i < 12; i++) Assert.Equal(1 + 0.25 * Math.Cos(2 * Math.PI * 2 * i / 12 + Math.PI / 3), wave[i], 1e-12);
        Assert.Equal([1, 1, 1], Waveform.Sample([], 3));
    }

    [Fact]
    public void Tops_of_unrelated_groups_add_up_and_so_do_their_bottoms()
    {
        Assert.Equal((1.5 - 0.6) / (1.5 + 0.6), Waveform.WorstDepth([(0.3, -0.1), (0.2, -0.3)]), 1e-12);
        Assert.Equal(0, Waveform.WorstDepth([]));
    }

    [Fact]
    public void No_light_has_no_flicker_index()
    {
        Assert.Equal(0, Waveform.FlickerIndex([]));
        Assert.Equal(0, Waveform.FlickerIndex([0, 0]));
        Assert.Equal(0.25, Waveform.FlickerIndex([1, 3]));
    }
}
