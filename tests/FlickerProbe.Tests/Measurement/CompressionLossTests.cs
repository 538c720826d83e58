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

    [Fact]
    public void Without_compression_nothing_is_taken()
    {
        CompressionLoss none = new(0, 0, 0, 0, 0.1, 0.017);
        Assert.Equal(0.05, none.Highest(0.05, Fine, 0.05), 1e-12);
        Assert.Equal(0.05, none.Lowest(0.05, Fine, 0.05), 1e-12);
    }
}
