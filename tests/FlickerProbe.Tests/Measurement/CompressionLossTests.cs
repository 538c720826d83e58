using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>What an encoder may have taken, by the width of the bands and by what they ride on.</summary>
public class CompressionLossTests
{
    private const double Wide = 200, Between = 30, Fine = 10;

    /// <summary>Fine bands may lose 2 %, wide ones 1 %, and any a tenth of themselves.</summary>
    private static readonly CompressionLoss Lossy = new(0.02, 0.01, 0, 0.1, 0.5, 0.017);

    [Theory]
    [InlineData(Wide, 0, 0.01)] // nothing seen: the whole dead zone
    [InlineData(Wide, 0.012, 0.005)] // just clear of it
    [InlineData(Wide, 0.5, 0.0025)] // never less than a quarter
    [InlineData(Between, 0, 0.02)]
    [InlineData(Between, 0.5, 0.005)]
    [InlineData(Fine, 0, 0.02)]
    [InlineData(Fine, 0.5, 0.02)] // fine bands may lose all of it however strong
    public void Bands_of_more_than_a_block_lose_less_the_stronger_the_light(double rows, double strongest, double swallowed) =>
        Assert.Equal(swallowed, Lossy.SwallowedOf(rows, strongest), 1e-9);

    [Fact]
    public void A_faint_tone_on_a_strong_one_loses_less_than_alone()
    {
        Assert.Equal(0.01 * 1.02 + 0.01 * 0.6, Lossy.Highest(0.01, Wide, 0), 1e-9);
        Assert.Equal(0.01 * 1.02 + 0.0025, Lossy.Highest(0.01, Wide, 0.3), 1e-9);
        Assert.Equal(0.01 - 0.5 * 0.0025, Lossy.Lowest(0.01, Wide, 0.3), 1e-9);
    }

    [Fact]
    public void Starved_encoders_take_their_share_of_fine_bands_only()
    {
        Assert.Equal(0.3 * 1.1 + 0.02, Lossy.Highest(0.3, Fine, 0.3), 1e-9);
        Assert.Equal(0.3 * 1.02 + 0.0025, Lossy.Highest(0.3, Wide, 0.3), 1e-9);
    }

    [Fact]
    public void Noise_cut_off_at_black_raises_the_mean()
    {
        // Drawn: half of a signal stands at black in noise of 3 codes, and what falls below is cut off.
        var normal = new NormalNoise(5);
        double lift = Enumerable.Range(0, 200_000).Average(i => i % 2 == 0 ? Math.Max(0, 3 * normal.Next()) : 0);
        CompressionLoss dark = CompressionLoss.Of(new RecordingTraits(0.2, 3, 8, 0.05, "ffv1", true), new SignalLevel(0.2, 0.7, 0, 0.5));
        Assert.Equal(lift * 0.05, dark.DarkLift, 0.001);
        Assert.Equal(1 + dark.DarkLift, dark.Highest(1, Fine, 1), 1e-9);
        Assert.Equal(1, dark.Lowest(1, Fine, 1), 1e-9);
    }

    /// <summary>Drawn: noise about a dark code of the curve for high dynamic range, kept whole in one frame and smoothed away in the next.</summary>
    [Theory]
    [InlineData(2)]
    [InlineData(6)]
    [InlineData(14)]
    public void Noise_that_an_encoder_keeps_in_some_frames_only_pulses_no_more_than_is_allowed_for(double codes)
    {
        // SMPTE ST 2084, by its own constants and not by the project's curve.
        static double Light(double signal)
        {
            double p = Math.Pow(Math.Clamp(signal, 0, 1), 1 / 78.84375);
            return Math.Pow(Math.Max(0, p - 0.8359375) / (18.8515625 - 18.6875 * p), 1 / 0.1593017578125);
        }
        const double middle = 60 / 219.0;
        var normal = new NormalNoise(9);
        double smooth = Light(middle), noisy = Enumerable.Range(0, 200_000).Average(_ => Light(middle + codes / 219 * normal.Next()));
        // A square wave between the two, relative to their mean: its fundamental is 4/π of half its swing.
        double pulsing = 4 / Math.PI * (noisy - smooth) / (noisy + smooth), step = (Light((60 + 0.5) / 219) - Light((60 - 0.5) / 219)) / smooth;
        CompressionLoss Of(string codec, bool lossless) => CompressionLoss.Of(new RecordingTraits(0.2, codes, 0.5, step, codec, lossless), new SignalLevel(0.3, 0.4, 0, 0));
        Assert.InRange(Of("hevc", false).PumpedByNoise, pulsing, 3 * pulsing);
        Assert.Equal(0, Of("ffv1", true).PumpedByNoise);
    }

    /// <summary>Cosines of any amplitude about any level between two codes, rounded with noise: none is falsified by more than is allowed for, and the worst uses most of it.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(0.1)]
    [InlineData(0.2)]
    [InlineData(0.3)]
    [InlineData(0.4)]
    [InlineData(0.5)]
    public void What_rounding_takes_is_bounded(double noiseSteps)
    {
        double[] noise = noiseSteps == 0 ? [0] : [.. Enumerable.Range(0, 401).Select(i => (i - 200) / 40.0)]; // in deviations
        double[] weight = [.. noise.Select(z => Math.Exp(-z * z / 2))];
        double worst = 0;
        for (double middle = 0; middle < 1; middle += 0.05)
        {
            for (double amplitude = 0.05; amplitude < 2; amplitude += 0.05)
            {
                double seen = 0;
                const int points = 90;
                for (int n = 0; n < points; n++)
                {
                    double cosine = Math.Cos(2 * Math.PI * n / points), mean = 0;
                    for (int i = 0; i < noise.Length; i++) mean += weight[i] * Math.Round(middle + amplitude * cosine + noiseSteps * noise[i]);
                    seen += 2.0 / points * cosine * mean / weight.Sum();
                }
                worst = Math.Max(worst, Math.Abs(seen - amplitude));
            }
        }
        // The noise that is measured holds the rounding's own twelfth of a squared step.
        double measured = Math.Sqrt(noiseSteps * noiseSteps + 1.0 / 12);
        double allowed = CompressionLoss.Of(new RecordingTraits(0.2, 3, 8, 1, "ffv1", true) { RoundingNoiseCodes = measured }, new SignalLevel(0.5, 0.7, 0, 0)).Staircase;
        Assert.InRange(worst, 0.5 * allowed, allowed + 0.01);
    }

    [Fact]
    public void Bands_are_wide_by_the_rows_that_the_encoder_had()
    {
        CompressionLoss halved = Lossy with { RowsPerSample = 2 };
        Assert.Equal(Lossy.DeadZoneOf(41), halved.DeadZoneOf(82));
        Assert.Equal(Lossy.DeadZone, halved.DeadZoneOf(79));
        Assert.Equal(Lossy.SwallowedOf(Fine, 0.5), halved.SwallowedOf(39, 0.5));
    }

    /// <summary>The most that vanished whole of clips by ffmpeg alone, of each size of file.</summary>
    [Theory]
    [InlineData("h264", 0.0004, 2.2)]
    [InlineData("hevc", 0.0007, 8.0)]
    [InlineData("h264", 0.0010, 7.0)]
    [InlineData("h264", 0.0012, 3.9)]
    [InlineData("vp9", 0.0030, 3.3)]
    [InlineData("h264", 0.0055, 2.3)]
    [InlineData("mpeg4", 0.0098, 1.5)]
    public void What_vanished_whole_from_starved_recordings_is_not_ruled_out(string codec, double bitsPerPixel, double codes)
    {
        CompressionLoss loss = CompressionLoss.Of(new RecordingTraits(0.99, 0.02, bitsPerPixel, 0.017, codec, false), new SignalLevel(0.5, 0.7, 0, 0));
        Assert.InRange(loss.Vanishing, codes * 0.017, 0.14);
        Assert.Equal(0.001 + loss.Vanishing + loss.Staircase, loss.Hidden(0.001), 1e-12);
        // What was coded is no less the light's for it.
        Assert.True(loss.Limit(0.001) < loss.Hidden(0.001));
    }

    [Fact]
    public void Recordings_with_bits_enough_hide_no_more_than_their_dead_zone()
    {
        CompressionLoss rich = CompressionLoss.Of(new RecordingTraits(0.1, 2, 0.1, 0.017, "h264", false), new SignalLevel(0.5, 0.7, 0, 0));
        Assert.Equal(rich.DeadZone, rich.Vanishing);
        CompressionLoss unknown = CompressionLoss.Of(new RecordingTraits(0.5, 2, null, 0.017, "h264", false), new SignalLevel(0.5, 0.7, 0, 0));
        Assert.Equal(unknown.DeadZone, unknown.Vanishing);
        CompressionLoss still = CompressionLoss.Of(new RecordingTraits(0.95, 0.02, null, 0.017, "h264", false), new SignalLevel(0.5, 0.7, 0, 0));
        Assert.Equal(8 * 0.017, still.Vanishing, 1e-12);
    }

    [Fact]
    public void Without_compression_nothing_is_taken()
    {
        CompressionLoss none = new(0, 0, 0, 0, 0.1, 0.017);
        Assert.Equal(0.05, none.Highest(0.05, Fine, 0.05), 1e-12);
        Assert.Equal(0.05, none.Lowest(0.05, Fine, 0.05), 1e-12);
    }
}
