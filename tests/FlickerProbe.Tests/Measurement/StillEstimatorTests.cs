using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Measurement;

/// <summary>
/// Single pictures, with the facts published of two real ones: light pulsed at 1000 Hz and read in 15.73 ms shows 15.73 bands (f · T_r);
/// light rippling at 120 Hz with a second rate 16.66 times faster shows both.
/// </summary>
public class StillEstimatorTests
{
    private static readonly SyntheticTake Picture = new()
    {
        Frames = 1, Rows = 480, Rate = "25", ReadoutSeconds = 0.01573, ExposureSeconds = 1 / 16000.0, RowNoise = 0.002, Scene = (_, strip, down) => 1 - 0.3 * (down - 0.4) * (down - 0.4) + 0.05 * strip * down,
    };

    [Fact]
    public void The_1000_Hz_picture()
    {
        Judged judged = Judged.Of(Picture with { Light = new PulseLight { FrequencyHz = 1000, Duty = 0.5, Low = 0.2, EdgeSeconds = 50e-6, PhaseCycles = 0.37 } });
        Tone fundamental = judged.Take.Tones[0];

        Assert.Equal(15.73, fundamental.BandsPerHeight.Value, 0.01);
        Assert.True(fundamental.BandsPerHeight.Holds(15.73));
        Assert.Equal(1000, fundamental.FrequencyHz!.Value.Value, 0.002 * 1000);
        Assert.True(fundamental.FrequencyHz.Value.Holds(1000));
        // A symmetrical square has the odd overtones 1/3, 1/5, 1/7 (Fourier series); its edges and the exposure each take sinc(f · time) of them.
        double Kept(double hertz) => Sinc(hertz * 50e-6) * Sinc(hertz / 16000);
        double Sinc(double x) => Math.Sin(Math.PI * x) / (Math.PI * x);
        foreach (int odd in new[] { 3, 5, 7 })
        {
            Tone overtone = judged.Take.Tones.Single(t => t.HarmonicNumber == odd);
            double expected = Kept(1000 * odd) / Kept(1000) / odd;
            Assert.Equal(expected, overtone.Amplitude.Value / fundamental.Amplitude.Value, 0.02 * expected);
            Assert.Equal(1000.0 * odd, overtone.FrequencyHz!.Value.Value, 0.002 * 1000 * odd);
        }
        Assert.DoesNotContain(judged.Take.Tones, t => t.HarmonicNumber is 2 or 4 && t.Amplitude.Value > 0.01 * fundamental.Amplitude.Value);
        double depth = (Picture with { Light = new PulseLight { FrequencyHz = 1000, Duty = 0.5, Low = 0.2, EdgeSeconds = 50e-6 } }).TrueDepth(Picture.ExposureSeconds);
        Assert.True(judged.Take.ModulationDepth!.Value.Holds(depth), $"{judged.Take.ModulationDepth} for {depth}");
    }

    // 805 rows read in 50.81 ms: 6.11 bands are 120.25 Hz, 101.8 finer ones the second rate.
    private static readonly SyntheticTake MainsLamp = Picture with
    {
        Rows = 805, Rate = "12.5", ReadoutSeconds = 0.05081, ExposureSeconds = 1 / 8000.0, Light = Waveform.Tones((120.25, 0.4, 0.2), (120.25 * 16.66, 0.1, 1)),
    };

    [Fact]
    public void The_picture_of_a_mains_lamp_with_a_rate_16_66_times_faster()
    {
        Tone tone = Judged.Of(MainsLamp).Take.Tones[0];
        Assert.Equal(6.11, tone.BandsPerHeight.Value, 0.02);
        Assert.True(tone.BandsPerHeight.Holds(120.25 * 0.05081), $"{tone.BandsPerHeight}");
        Assert.True(tone.FrequencyHz!.Value.Holds(120.25), $"{tone.FrequencyHz}");
        Assert.True(tone.Amplitude.Holds(0.4), $"{tone.Amplitude}");
    }

    [Fact]
    public void A_second_rate_makes_no_false_overtone() =>
        Assert.All(Judged.Of(MainsLamp).Take.Tones.Skip(1), t => Assert.InRange(t.Amplitude.Value, 0, 0.02));

    // Shading of the fourth order bends like two bands.
    [Theory]
    [InlineData(0.5, 0.2)]
    [InlineData(0.5, 2.9)]
    [InlineData(0.25, 1)]
    public void Hardly_two_bands_are_not_told_from_shading(double depth, double phase)
    {
        Judged judged = Judged.Of(Picture with { Light = Waveform.Tones((120, depth, phase), (1999.2, 0.12, 1)) });
        Assert.All(judged.Take.Tones, t => Assert.True(t.Amplitude.Holds(depth)));
        Assert.True(judged.Take.ModulationDepth!.Value.Holds(depth), $"{judged.Take.ModulationDepth}");
        Assert.Equal(Ruling.Watch, judged.At("25@1/16000").Ruling);
    }

    [Theory]
    [InlineData(437, 0.2, 0.016)]
    [InlineData(437, 0.05, -0.016)]
    [InlineData(1234, 0.3, 0.0273)]
    public void A_sine_is_found_with_intervals_that_hold(double hertz, double depth, double readout)
    {
        SyntheticTake scene = Picture with { Light = Waveform.Sine(hertz, depth, 0.8), ReadoutSeconds = readout };
        Tone tone = Judged.Of(scene).Take.Tones[0];
        Assert.True(tone.FrequencyHz!.Value.Holds(hertz), $"{tone.FrequencyHz} for {hertz}");
        Assert.True(tone.Amplitude.Holds(scene.TrueDepth(scene.ExposureSeconds)), $"{tone.Amplitude} for {scene.TrueDepth(scene.ExposureSeconds)}");
    }

    [Fact]
    public void Nothing_is_found_on_plain_walls_and_in_textures()
    {
        for (int seed = 1; seed <= 6; seed++)
        {
            var texture = new NormalNoise(seed);
            double[,] grain = new double[6, 481];
            for (int s = 0; s < 6; s++)
            {
                for (int r = 1; r < 481; r++) grain[s, r] = 0.8 * grain[s, r - 1] + 0.006 * texture.Next();
            }
            Assert.Empty(Judged.Of(Picture with { Seed = seed, Scene = (_, s, y) => 1 - 0.3 * y * y + grain[s, (int)Math.Round(480 * y)] }).Take.Tones);
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(0.3)]
    public void One_picture_is_never_a_pass(double depth)
    {
        Judged judged = Judged.Of(Picture with { Light = Waveform.Sine(437, depth) });
        Assert.True(judged.Forbids(FindingCodes.ShortClip));
        foreach (string format in new[] { "25@1/50", "25@1/1000", "25@1/16000" }) Assert.NotEqual(Ruling.Pass, judged.IsHonestAt(format).Ruling);
    }

    [Fact]
    public void Without_the_readout_only_bands_are_stated()
    {
        Tone tone = Judged.Of(Picture with { Light = Waveform.Sine(437, 0.2), KnowsReadout = false }).Take.Tones[0];
        Assert.Null(tone.FrequencyHz);
        Assert.Empty(tone.CandidatesHz);
        Assert.Equal(437 * 0.01573, tone.BandsPerHeight.Value, 0.05);
    }
}
