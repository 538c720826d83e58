using System.Numerics;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Series, sums and differences whose places in the plane are known by arithmetic.</summary>
public class OvertoneGroupingTests
{
    private static readonly LightMatrix Matrix = Planes.Of(150, 120, (_, _) => 1);
    private static readonly CompressionLoss Lossless = new(0, 0, 0, 0, null, 0.01);

    private static PlaneTone At(double x, double nu, double amplitude, bool mirrored = false)
    {
        (x, nu) = (x - Math.Round(x), nu - Math.Round(nu));
        // The search answers with ν ≥ 0.
        if (nu < 0 ^ mirrored) (x, nu) = (-x, -nu);
        return new PlaneTone(x, nu, new Complex(amplitude, 0)) { XDeviation = 1e-5, NuDeviation = 2e-5, AmplitudeDeviation = 1e-4 };
    }

    [Fact]
    public void A_series_is_one_light_even_where_it_folds()
    {
        // 0.2871 cycles a frame and 0.19 a row: the third overtone is folded along both axes.
        PlaneTone[] tones = [.. Enumerable.Range(1, 5).Select(m => At(0.2871 * m, 0.19 * m, 0.3 / m))];
        OvertoneGrouping.Grouping grouping = OvertoneGrouping.Sort(tones, Matrix, Lossless);

        OvertoneGrouping.ToneGroup group = Assert.Single(grouping.Groups);
        Assert.Empty(grouping.Combinations);
        Assert.Equal([(0, 1), (1, 2), (2, 3), (3, 4), (4, 5)], group.Members.Select(m => (m.Tone, m.Multiple)).Order());
        Assert.Equal(0.2871, group.X, 1e-9);
        // A mirrored member is stored as its conjugate image.
        foreach ((int tone, int multiple, bool mirrored) in group.Members)
        {
            double sign = mirrored ? -1 : 1, off = sign * tones[tone].Nu - 0.19 * multiple;
            Assert.Equal(0, off - Math.Round(off), 1e-9);
        }
    }

    [Fact]
    public void A_fundamental_weaker_than_its_overtone_still_leads()
    {
        OvertoneGrouping.Grouping grouping = OvertoneGrouping.Sort([At(0.11, 0.04, 0.02), At(0.22, 0.08, 0.2), At(0.33, 0.12, 0.05)], Matrix, Lossless);
        OvertoneGrouping.ToneGroup group = Assert.Single(grouping.Groups);
        Assert.Equal(0.11, group.X, 1e-9);
        Assert.Equal([1, 2, 3], group.Members.OrderBy(m => m.Tone).Select(m => m.Multiple));
    }

    [Fact]
    public void What_an_encoder_left_beside_a_tone_is_not_its_fundamental()
    {
        // A third of the frame rate, all but 0.3 cells: the fourth multiple of what lies a cell off is the tone again.
        PlaneTone[] tones = [At(-0.3313, 0.006, 0.03), At(2 * -0.3313, 0.012, 0.008), At(-0.3313 / 4 - 0.25, 0.0015, 0.01)];
        CompressionLoss lossy = Lossless with { RelativeLoss = 0.03 };
        Assert.Contains(OvertoneGrouping.Sort(tones, Matrix, lossy).Groups, g => g.Members.Contains((0, 1, g.Members.Find(m => m.Tone == 0).Mirrored)));
        // Without an encoder there is nothing else that it could be.
        Assert.DoesNotContain(OvertoneGrouping.Sort(tones, Matrix, Lossless).Groups, g => g.Members.Exists(m => m is { Tone: 0, Multiple: 1 }));
    }

    [Fact]
    public void Two_lights_their_sum_and_their_difference()
    {
        (double x1, double n1, double x2, double n2) = (0.13, 0.021, 0.307, 0.143);
        PlaneTone[] tones = [At(x1, n1, 0.2), At(x2, n2, 0.3), At(x2 + x1, n2 + n1, 0.03), At(x2 - x1, n2 - n1, 0.03), At(x2 + 2 * x1, n2 + 2 * n1, 0.005)];
        OvertoneGrouping.Grouping grouping = OvertoneGrouping.Sort(tones, Matrix, Lossless);

        Assert.Equal(2, grouping.Groups.Count);
        Assert.Equal([2, 3, 4], grouping.Combinations.Select(c => c.Tone).Order());
        foreach (OvertoneGrouping.Combination c in grouping.Combinations)
        {
            // The arithmetic holds, whichever way round it is written.
            (OvertoneGrouping.ToneGroup g, OvertoneGrouping.ToneGroup h) = (grouping.Groups[c.FirstGroup], grouping.Groups[c.SecondGroup]);
            double sign = c.Mirrored ? -1 : 1, off = sign * tones[c.Tone].X - c.A * g.X - c.B * h.X;
            Assert.Equal(0, off - Math.Round(off), 1e-6);
        }
    }

    [Fact]
    public void Ripple_beside_a_high_overtone_is_a_sum_and_no_light()
    {
        // A train of pulses without its fifth overtone, ripple of its own, and the ripple's difference with that fifth.
        (double x1, double n1, double x2, double n2) = (-0.2589, 0.00804, 0.3365, 0.00195);
        PlaneTone[] tones = [.. new[] { 1, 2, 3, 4, 6, 7 }.Select(m => At(m * x1, m * n1, 0.09 / m)), At(x2, n2, 0.06), At((5 * x1) - x2, (5 * n1) - n2, 0.003)];
        OvertoneGrouping.Grouping grouping = OvertoneGrouping.Sort(tones, Matrix, Lossless);
        OvertoneGrouping.Combination sum = Assert.Single(grouping.Combinations);
        Assert.Equal((7, 5, -1), (sum.Tone, sum.A, sum.B));
        Assert.Equal(2, grouping.Groups.Count);
        // Two overtones are no train: there it stays a tone of its own.
        Assert.Equal(3, OvertoneGrouping.Sort([tones[0], tones[1], tones[6], tones[7]], Matrix, Lossless).Groups.Count);
    }

    [Fact]
    public void What_most_was_fitted_with_is_the_ripple_and_keeps_its_hands_off_others_overtones()
    {
        // A faint tone with a fainter sum of its own: its 27th multiple is the pulses' fourth overtone by chance.
        (double x1, double n1, double x2, double n2) = (-0.2589, 0.00804, 0.3365, 0.00195);
        (double x3, double n3) = ((4 * x1 + 11) / 27, (4 * n1 + 3) / 27);
        PlaneTone[] tones =
        [
            At(x1, n1, 0.09), At(2 * x1, 2 * n1, 0.03), At(3 * x1, 3 * n1, 0.02), At(4 * x1, 4 * n1, 0.022), At(x2, n2, 0.06), At(x3, n3, 0.003),
            At(x1 + x2, n1 + n2, 0.01) with { TiedTo = 0, AlsoTiedTo = 4, AlsoMultiple = 1 },
            At(x2 - x3, n2 - n3, 0.0008) with { TiedTo = 4, AlsoTiedTo = 5, AlsoMultiple = -1 },
            At(x2 + x3, n2 + n3, 0.0006) with { TiedTo = 4, AlsoTiedTo = 5, AlsoMultiple = 1 },
        ];
        OvertoneGrouping.Grouping grouping = OvertoneGrouping.Sort(tones, Matrix, Lossless);
        OvertoneGrouping.ToneGroup pulses = grouping.Groups.Single(g => g.Members.Exists(m => m is { Tone: 0, Multiple: 1 }));
        Assert.Contains(pulses.Members, m => m is { Tone: 3, Multiple: 4 });
    }

    [Fact]
    public void Neighbours_that_only_nearly_fit_are_lights_of_their_own()
    {
        // Half a cell off twice the fundamental along the frames: 0.5/150 cycles, some 300 deviations.
        OvertoneGrouping.Grouping grouping = OvertoneGrouping.Sort([At(0.11, 0.04, 0.2), At(0.22 + 0.5 / 150, 0.08, 0.05)], Matrix, Lossless);
        Assert.Equal(2, grouping.Groups.Count);
        Assert.Equal(2, OvertoneGrouping.Sort([At(0.11, 0.04, 0.2), At(0.22, 0.08 + 0.7 / 120, 0.05)], Matrix, Lossless).Groups.Count);
    }

    [Fact]
    public void Every_tone_is_sorted_once()
    {
        var normal = new NormalNoise(6);
        for (int trial = 0; trial < 30; trial++)
        {
            PlaneTone[] tones = [.. Enumerable.Range(0, 8).Select(_ => At(normal.Between(-0.5, 0.5), normal.Between(0, 0.5), normal.Between(0.01, 0.3)))];
            OvertoneGrouping.Grouping grouping = OvertoneGrouping.Sort(tones, Matrix, Lossless);
            int[] sorted = [.. grouping.Groups.SelectMany(g => g.Members.Select(m => m.Tone)), .. grouping.Combinations.Select(c => c.Tone)];
            Assert.Equal(Enumerable.Range(0, 8), sorted.Order());
        }
    }
}
