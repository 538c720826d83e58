using FlickerProbe.Measurement;
using static FlickerProbe.Measurement.FrequencyCandidates;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Candidates by exhaustion: every multiple of the tick rate, both directions, every fold of the rows, tried one by one.</summary>
public class FrequencyCandidatesTests
{
    private static Sighting See(double hertz, double readout, double tickHz, double lines, double deviation = 0.01, double highest = 3000, double highestFolded = 0)
    {
        // The row model: alias f − kF; f·T_r bands; shown with ν ≥ 0, where a bottom-to-top readout or a fold mirrors the alias.
        double bands = hertz * readout, folded = bands - lines * Math.Round(bands / lines), alias = hertz - tickHz * Math.Round(hertz / tickHz);
        return new Sighting(folded < 0 ? -alias : alias, Math.Abs(folded), deviation, highest, highestFolded, true);
    }

    /// <summary>All f up to the limit whose alias fits one sign of the pair and whose readout lies in a range.</summary>
    private static double[] Exhaustive(Sighting s, ReadoutRange[] ranges, double tickHz)
    {
        var found = new SortedSet<double>();
        foreach (ReadoutRange range in ranges)
        {
            double direction = Math.Sign(range.Low + range.High);
            for (int k = -200; k <= 200; k++)
            {
                double f = direction * s.AliasHz + k * tickHz;
                if (f < SlowestRollingHz || f > s.HighestHz) continue;
                double low = Math.Max(0, s.Bands - 3.3 * s.BandsDeviation) / f, high = (s.Bands + 3.3 * s.BandsDeviation) / f;
                if (high >= Math.Min(Math.Abs(range.Low), Math.Abs(range.High)) && low <= Math.Max(Math.Abs(range.Low), Math.Abs(range.High))) found.Add(Math.Round(f, 6));
            }
        }
        return [.. found];
    }

    public static TheoryData<double, double, double> Lights => new()
    {
        { 100, 0.016, 25 }, { 120, -0.016, 25 }, { 120, 0.0301, 30000 / 1001.0 }, { 437, 0.0083, 50 }, { 1000, -0.0274, 30 }, { 2040, 0.012, 60000 / 1001.0 }, { 217, 0.031, 24000 / 1001.0 },
    };

    [Theory]
    [MemberData(nameof(Lights))]
    public void An_unknown_readout_leaves_what_exhaustion_leaves(double hertz, double readout, double tickHz)
    {
        Sighting s = See(hertz, readout, tickHz, 1e6);
        ReadoutRange[] ranges = Ranges(null, 0, 1 / tickHz);

        List<Candidate> found = Resolve([s], ranges, tickHz, 1e6, 1, null, 0)[0];

        Assert.Equal(Exhaustive(s, ranges, tickHz), found.Select(c => Math.Round(c.Hertz, 6)));
        Assert.Contains(found, c => Math.Abs(c.Hertz - hertz) < 1e-6 && c.ReadoutLow <= readout && c.ReadoutHigh >= readout);
    }

    [Theory]
    [MemberData(nameof(Lights))]
    public void A_known_readout_leaves_the_true_one_alone(double hertz, double readout, double tickHz)
    {
        // Deviation in hertz, 0.25 % of 2 kHz, stays under half a frame rate in every case.
        List<Candidate> found = Resolve([See(hertz, readout, tickHz, 1e6)], Ranges(readout, 0.0005, 1 / tickHz), tickHz, 1e6, 1, readout, 0.0005)[0];
        Assert.Equal(hertz, Assert.Single(found).Hertz, 1e-6);
    }

    [Fact]
    public void A_loosely_known_readout_keeps_every_frequency_it_allows()
    {
        // 2040 Hz ± 5 % at 25 frames/s: the multiples within ± 3.3 standard deviations stay, never one confident guess.
        Sighting s = See(2040, 0.016, 25, 1e6);
        ReadoutRange[] ranges = Ranges(0.016, 0.025, 0.04);
        List<Candidate> found = Resolve([s], ranges, 25, 1e6, 1, 0.016, 0.025)[0];
        Assert.Contains(found, c => Math.Abs(c.Hertz - 2040) < 1e-6);
        Assert.InRange(found.Count, 10, 20);
        // The nearest multiple is the best by distance.
        Assert.Equal(2040, found.MinBy(c => c.Distance).Hertz, 1e-6);
    }

    [Fact]
    public void A_readout_turned_the_wrong_way_gives_another_frequency_not_both()
    {
        // Told +16 ms of a camera that reads −16 ms: 120 Hz (alias −5 at 25) is seen as alias +5; 5 Hz of 25 k fit no 1.92 bands.
        Assert.Empty(Resolve([See(120, -0.016, 25, 1e6)], Ranges(0.016, 0.0025, 0.04), 25, 1e6, 1, 0.016, 0.0025)[0]);
    }

    [Fact]
    public void Tones_of_one_take_share_one_readout()
    {
        (double tick, double readout) = (25, 0.0163);
        Sighting[] both = [See(120, readout, tick, 1e6, 0.002), See(1007, readout, tick, 1e6, 0.002)];
        ReadoutRange[] ranges = Ranges(null, 0, 1 / tick);

        int alone = Resolve([both[0]], ranges, tick, 1e6, 1, null, 0)[0].Count;
        List<Candidate> together = Resolve(both, ranges, tick, 1e6, 1, null, 0)[0];

        Assert.True(together.Count < alone);
        Assert.Contains(together, c => Math.Abs(c.Hertz - 120) < 1e-6);
        // What stays has a partner whose readout overlaps, and what went had none.
        List<Candidate> partners = Resolve([both[1]], ranges, tick, 1e6, 1, null, 0)[0];
        foreach (Candidate c in Resolve([both[0]], ranges, tick, 1e6, 1, null, 0)[0])
            Assert.True(together.Contains(c) || !partners.Exists(d => d.ReadoutLow <= c.ReadoutHigh && d.ReadoutHigh >= c.ReadoutLow && Resolve(both, ranges, tick, 1e6, 1, null, 0)[1].Contains(d)));
    }

    [Fact]
    public void Patterns_finer_than_the_rows_are_thought_of()
    {
        // 25 kHz over 16 ms are 400 bands on 360 rows: seen as 40 bands, mirrored or not.
        Sighting s = See(25_000, 0.016, 24000 / 1001.0, 360, 0.02, 40_000, 40_000);
        Assert.Equal(40, s.Bands, 1e-9);
        List<Candidate> found = Resolve([s], Ranges(0.016, 0.0005, 1001 / 24000.0), 24000 / 1001.0, 360, 1, 0.016, 0.0005)[0];
        Assert.Contains(found, c => Math.Abs(c.Hertz - 25_000) < 1e-6);
        Assert.True(found.Count > 1); // so it is not claimed
    }

    [Fact]
    public void On_fields_patterns_finer_than_the_rows_beat_half_a_rate_off()
    {
        // 15 kHz over 12 ms are 180 bands on the 144 rows of a field, which lie half a row apart: seen as 36 bands whose beat is 25 of 50 Hz off.
        Sighting frames = See(15_007, 0.012, 50, 144, 0.02, 40_000, 40_000), fields = frames with { AliasHz = frames.AliasHz + 25 };
        Assert.Contains(Resolve([fields], Ranges(0.012, 0.0005, 0.02), 50, 144, 2, 0.012, 0.0005)[0], c => Math.Abs(c.Hertz - 15_007) < 1e-6);
        Assert.DoesNotContain(Resolve([fields], Ranges(0.012, 0.0005, 0.02), 50, 144, 1, 0.012, 0.0005)[0], c => Math.Abs(c.Hertz - 15_007) < 1e-6);
    }

    [Theory]
    [InlineData(5, 25, 300)]
    [InlineData(-10.09, 30000 / 1001.0, 1000)]
    public void A_global_shutter_leaves_every_multiple(double alias, double tickHz, double highest)
    {
        double[] expected = [.. Enumerable.Range(-200, 401).SelectMany(k => new[] { alias + k * tickHz, -alias + k * tickHz })
            .Where(f => f >= SlowestLightHz && f <= highest).Select(f => Math.Round(f, 6)).Distinct().Order()];
        Assert.Equal(expected, FromAliasAlone(alias, tickHz, highest).Select(c => Math.Round(c.Hertz, 6)));
    }

    [Fact]
    public void Locked_light_under_a_global_shutter_may_be_any_multiple() =>
        Assert.Equal([25, 50, 75, 100], FromAliasAlone(0, 25, 110).Select(c => c.Hertz));
}
