using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Bands that hardly move, read as a fundamental with its overtones (measurement model, trap 2).</summary>
public class SlowSeriesTests
{
    private const int Frames = 160, Rows = 120;

    /// <summary>The reading of a light whose overtones all hardly move; amplitudes from the fundamental up, beat in cycles a clip.</summary>
    private static SlowSeries.Reading Read(double cycles, double bands, params double[] amplitudes)
    {
        var normal = new NormalNoise(5);
        LightMatrix matrix = Planes.Of(Frames, Rows, (n, r) =>
            1 + amplitudes.Select((a, k) => a * Math.Cos(2 * Math.PI * (k + 1) * (cycles * n / Frames + bands * r / Rows) + 0.7 * (k + 1))).Sum() + 0.002 * normal.Next());
        double[] weights = LineWeights.Even(Rows);
        SlowSeries.Reading? reading = SlowSeries.Best(matrix, matrix.Relative, weights, SlowBeatSearch.Find(matrix, matrix.Relative, weights, []), driftOrders: 6, new CompressionLoss(0, 0, 0, 0, null, 0.01), readout: null);
        Assert.NotNull(reading);
        return reading;
    }

    private static void Leads(SlowSeries.Reading reading, double cycles, double bands)
    {
        PlaneTone lead = reading.Tones[0];
        double sign = lead.Nu < 0 ? -1 : 1;
        Assert.Equal(cycles, sign * lead.X * Frames, 0.05);
        Assert.Equal(bands, sign * lead.Nu * Rows, 0.05);
        Assert.All(reading.Tones.Skip(1), t => Assert.Equal(0, t.TiedTo));
    }

    [Theory]
    [InlineData(0.64, 2.4)] // 120 Hz at 29.97 for five seconds
    [InlineData(-0.37, 2.4)]
    public void Overtones_that_hardly_move_either_hold_each_other(double cycles, double bands)
    {
        double[] amplitudes = [0.156, 0.124, 0.083, 0.0437, 0.0153];
        SlowSeries.Reading reading = Read(cycles, bands, amplitudes);
        Leads(reading, cycles, bands);
        for (int k = 0; k < amplitudes.Length; k++)
            Assert.Equal(amplitudes[k], reading.Tones.Single(t => t.Multiple == k + 1).Amplitude, 0.002);
    }

    [Fact]
    public void A_strong_second_overtone_does_not_take_the_lead() => Leads(Read(0.64, 1.2, 0.03, 0.05), 0.64, 1.2);

    // Half the ripple's rate with a fifteenth of its strength: a supply may do that, a settling level does it sooner.
    [Fact]
    public void A_faint_half_of_the_rate_does_not_make_the_ripple_an_overtone() => Leads(Read(0.32, 0.96, 0.0036, 0.054), 0.64, 1.92);

    [Fact]
    public void Sums_keep_their_ties_or_stand_free_where_the_lead_of_a_series_changes()
    {
        LightMatrix matrix = Planes.Of(Frames, Rows, (_, _) => 1);
        CompressionLoss crushed = new(0.02, 0.02, 0, 0.05, null, 0.01);
        PlaneTone half = new(0.3 / Frames, 0.9 / Rows, 0.01), whole = new(0.6 / Frames, 1.8 / Rows, 0.07) { TiedTo = 0, Multiple = 2 };
        PlaneTone one = new(0.2, 0.1, 0.02), other = new(0.3, 0.15, 0.02);
        PlaneTone sum = new(0.5, 0.25, 0.005) { TiedTo = 2, AlsoTiedTo = 3, AlsoMultiple = 1 }, withHalf = new(0.2, 0.1, 0.005) { TiedTo = 0, AlsoTiedTo = 2, AlsoMultiple = 1 };

        PlaneTone[]? plainer = SlowSeries.WithoutFaintHalves([half, whole, one, other, sum, withHalf], matrix, crushed);
        Assert.NotNull(plainer);
        Assert.Equal(5, plainer.Length);
        PlaneTone kept = Assert.Single(plainer, t => t.AlsoTiedTo >= 0);
        Assert.Equal((0.2, 0.3), (plainer[kept.TiedTo].X, plainer[kept.AlsoTiedTo].X));
    }

    [Fact]
    public void A_series_led_by_a_faint_half_is_led_by_its_strongest_member_in_the_end()
    {
        LightMatrix matrix = Planes.Of(Frames, Rows, (_, _) => 1);
        CompressionLoss crushed = new(0.02, 0.02, 0, 0.05, null, 0.01);
        PlaneTone At(double multiple, double amplitude, int tiedTo, int number) => new(0.3 / Frames * multiple, 0.9 / Rows * multiple, amplitude) { TiedTo = tiedTo, Multiple = number };
        PlaneTone other = new(0.2, 0.1, 0.01), itsOvertone = new(0.4, 0.2, 0.005) { TiedTo = 0, Multiple = 2 };
        PlaneTone[] tones = [other, itsOvertone, At(1, 0.04, -1, 1), At(2, 0.07, 2, 2), At(3, 0.03, 2, 3), At(4, 0.01, 2, 4)];

        PlaneTone[]? plainer = SlowSeries.WithoutFaintHalves(tones, matrix, crushed);
        Assert.NotNull(plainer);
        Assert.Equal([(0.07, -1, 1), (0.01, 0, 2), (0.01, -1, 1), (0.005, 2, 2)], plainer.Select(t => (t.Amplitude, t.TiedTo, t.Multiple)));

        // In a recording that swallows nothing the half is as strong as it looks: such a light is possible.
        Assert.Null(SlowSeries.WithoutFaintHalves(tones, matrix, new CompressionLoss(0, 0, 0, 0, null, 0.01)));
    }
}
