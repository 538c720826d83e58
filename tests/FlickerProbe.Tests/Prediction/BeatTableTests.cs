using FlickerProbe.Camera;
using FlickerProbe.Prediction;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

public class BeatTableTests
{
    // Sampling theorem, α = f − F·round(f/F), exact rationals; recomputed independently. Rates: Recommendation ITU-R BT.2020 and BT.2100.
    public static TheoryData<string, double, double> Published => new()
    {
        { "24000/1001", 4100.0 / 1001, 120.0 / 1001 },
        { "24", 4, 0 },
        { "25", 0, -5 },
        { "30000/1001", 10100.0 / 1001, 120.0 / 1001 },
        { "30", 10, 0 },
        { "48000/1001", 4100.0 / 1001, -23.856144 },
        { "48", 4, 24 },
        { "50", 0, 20 },
        { "60000/1001", -19900.0 / 1001, 120.0 / 1001 },
        { "60", -20, 0 },
        { "100", 0, 20 },
        { "120000/1001", -19900.0 / 1001, 120.0 / 1001 },
        { "120", -20, 0 },
    };

    [Theory]
    [MemberData(nameof(Published))]
    public void Mains_ripple_against_the_rates_of_the_trade(string rate, double at100, double at120)
    {
        IReadOnlyList<Beat> beats = BeatTable.Of([100, 120], [FrameRate.Parse(rate)]);
        Assert.Equal(at100, beats[0].AliasHz, 1e-6);
        Assert.Equal(at120, beats[1].AliasHz, 1e-6);
    }

    [Fact]
    public void The_table_covers_every_published_rate() =>
        Assert.Equal(Published.Select(row => FrameRate.Parse((string)row[0])), StandardSettings.Rates);

    [Theory] // Pulse-width dimmers at 23.976, 25, 29.97 and 59.94; recomputed independently.
    [InlineData(200, 8.1918, 0, -9.7902, 20.1798)]
    [InlineData(217, 1.2158, -8, 7.2098, -22.7602)]
    [InlineData(240, 0.2398, -10, 0.2398, 0.2398)]
    [InlineData(1000, -6.9930, 0, 10.9890, -18.9810)]
    [InlineData(25000, -6.9930, 0, 4.9950, 4.9950)]
    public void Dimmers_against_four_rates(double hz, double at23976, double at25, double at2997, double at5994)
    {
        double[] aliases = [.. BeatTable.Of([hz], new[] { "23.976", "25", "29.97", "59.94" }.Select(FrameRate.Parse)).Select(b => b.AliasHz)];
        double[] expected = [at23976, at25, at2997, at5994];
        for (int i = 0; i < 4; i++) Assert.Equal(expected[i], aliases[i], 5e-5);
    }

    [Fact]
    public void The_slow_beat_of_120_Hz_repeats_every_8_3417_seconds()
    {
        Beat beat = BeatTable.Of([120], [FrameRate.Parse("59.94")]).Single();
        Assert.Equal(8.3417, beat.PeriodSeconds!.Value, 1e-4);
        Assert.Null(BeatTable.Of([120], [FrameRate.Parse("60")]).Single().PeriodSeconds);
    }
}
