using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>An encoder whose every fifth frame keeps more of a dark picture's noise makes the whole picture pulse: no proof against the light.</summary>
public class PumpedNoiseTests
{
    /// <summary>Whole frames that pulse 50 times a second by 8 % with every fifth, recorded with so much noise; each code is a twentieth of the light, as in the dark of a steep curve.</summary>
    private static TakeMeasurement Pulsing(double noiseCodes, bool lossless)
    {
        var take = new SyntheticTake
        {
            Rate = "50", ExposureSeconds = 0.004, ReadoutSeconds = 0.008, Frames = 250, RowNoise = 0.002,
            Gain = seconds => (int)Math.Round(seconds * 50 - 0.2) % 5 == 0 ? 1.08 : 1,
        };
        SampledTake made = take.Make();
        return TakeEstimator.Measure(
            made with { Traits = made.Traits with { TemporalNoiseCodes = noiseCodes, CodeStepRelative = 0.05, BitsPerPixel = lossless ? 8 : 2, Codec = lossless ? "ffv1" : "hevc", Lossless = lossless } },
            new EstimatorOptions(), CancellationToken.None);
    }

    [Fact]
    public void Where_noise_can_make_it_pulse_the_light_may_be_steady()
    {
        // exp(-(0.05 · 14)²/2): noise lifts the light by a fifth.
        TakeMeasurement noisy = Pulsing(14, lossless: false);
        Assert.InRange(noisy.ModulationDepth!.Value.Value, 0.02, 0.06);
        Assert.Equal(0, noisy.ModulationDepth.Value.Low);
        Assert.All(noisy.Tones, t => Assert.Equal(0, t.Amplitude.Low));
        Assert.Contains(noisy.Findings, f => f.Code == FindingCodes.CrushedRecording && f.Message.Contains("noise", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(1, false)] // too little noise for that
    [InlineData(14, true)] // no encoder
    public void Elsewhere_it_is_flicker_for_sure(double noiseCodes, bool lossless)
    {
        TakeMeasurement plain = Pulsing(noiseCodes, lossless);
        Assert.True(plain.ModulationDepth!.Value.Low > 0.01);
        Assert.Contains(plain.Tones, t => t.Amplitude.Low > 0.005);
        Assert.DoesNotContain(plain.Findings, f => f.Message.Contains("picture's noise", StringComparison.Ordinal));
    }
}
