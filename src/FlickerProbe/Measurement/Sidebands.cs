using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Tells a dimmer's tone and its sums and differences with a rippling supply apart where they lie within a cell or two of each other.</summary>
/// <remarks>
/// Ripple whose bands hardly move puts every sum and difference next to the tone it belongs to: in the plane they are one smear, which the search
/// takes for one or two tones. But their places are known from two numbers, the tone's and the ripple's, and with the places tied
/// the amplitudes can be told apart. Which of the smear's members was found is not known, so each is tried; the reading that leaves least
/// counts, if it pays for its numbers (Schwarz, "Estimating the dimension of a model", Ann. Statist. 6, 1978).
/// </remarks>
internal static class Sidebands
{
    /// <summary>Ripple fainter than this makes sums and differences too faint to matter.</summary>
    private const double FaintestRipple = 0.03;

    /// <summary>Sums and differences looked for: up to this many times the ripple.</summary>
    private const int Highest = 3;

    /// <summary>Tones tried, strongest first.</summary>
    private const int MostCarriers = 3;

    private const int StepsToTry = 4;

    /// <summary>The second strongest of a smear must have this share of the strongest; less where the ripple is already seen to work on another tone.</summary>
    private const double LeastShare = 0.1, LeastFurtherShare = 0.02;

    /// <summary>The same in recordings without an encoder that bends strong bands: ripple under this share of the mean is beside the point.</summary>
    private const double LeastPlainShare = 0.02;

    /// <summary>What a smear's members leave of each other lies within so many cells of the tone that was taken for all of them.</summary>
    private const double SmearCells = 3;

    /// <summary>Hidden ripple must move at least this many cycles in the clip, or what it does to a tone looks like the encoder's or the picture's own bending.</summary>
    private const double LeastCells = 0.3;

    /// <summary>So much must the logarithm of the likelihood rise beyond what the further numbers cost.</summary>
    private const double Margin = 20;

    /// <summary>A better fit; null where there is none.</summary>
    /// <param name="fit">The fit so far.</param>
    /// <param name="matrix">The data.</param>
    /// <param name="weights">Weights of the lines.</param>
    /// <param name="readout">The readout where it is known: then ripple that the shutter hides has its place too; null where not.</param>
    /// <param name="loss">What the encoder may have done.</param>
    /// <param name="driftOrders">Slow cosines of common level to fit beside.</param>
    /// <param name="steps">Steps of each fit.</param>
    /// <param name="unexplained">How much the rows change beyond noise and tones.</param>
    /// <param name="left">The spectrum of what the fit leaves.</param>
    /// <param name="floor">Its floor.</param>
    public static ToneFit? Beside(
        ToneFit fit, LightMatrix matrix, double[] weights, KnownReadout? readout, CompressionLoss loss, int driftOrders, int steps, double unexplained, PlaneSpectrum left, NoiseFloor floor)
    {
        // An encoder leaves something beside every strong tone; without one, what is left beside a tone is light.
        bool Leaves(PlaneTone carrier) => loss.IsLossy ? carrier.Amplitude > unexplained / 20 : StandsOut(left, floor, carrier, matrix);
        if (unexplained == 0 && loss.IsLossy) return null;
        foreach ((PlaneTone[] tones, int ripple) in Ripples(fit.Tones, matrix, loss.IsLossy ? null : readout))
        {
            IEnumerable<PlaneTone> carriers = tones
                .Where((t, i) => i != ripple && t.TiedTo < 0 && !ToneModel.IsSlow(t, matrix) && !Array.Exists(tones, o => o.AlsoTiedTo >= 0 && Same(o, t, matrix)))
                .OrderByDescending(t => t.Amplitude).Take(MostCarriers);
            foreach (PlaneTone carrier in carriers)
            {
                // Sums and differences of less than the ripple's share of the tone would not be missed.
                if (Leaves(carrier) && Told(fit, tones, ripple, carrier, matrix, weights, loss, driftOrders, steps) is { } better) return better;
            }
        }
        return null;
    }

    /// <summary>Whether what is left close to a tone stands out of the floor as a tone would.</summary>
    private static bool StandsOut(PlaneSpectrum left, NoiseFloor floor, PlaneTone tone, LightMatrix matrix)
    {
        PlaneTone upright = Upright(tone);
        double needed = ToneSearch.PowerRatioNeeded(left);
        int alias = left.AliasBin(upright.X), band = (int)Round(upright.Nu * left.LineBins);
        int aliasReach = (int)Ceiling(SmearCells * left.AliasBins / matrix.Ticks), bandReach = (int)Ceiling(SmearCells * left.LineBins / matrix.Lines);
        for (int l = Max(0, band - bandReach); l <= Min(left.BandBins - 1, band + bandReach); l++)
        {
            for (int d = -aliasReach; d <= aliasReach; d++)
            {
                int k = (alias + d + left.AliasBins) % left.AliasBins;
                double height = left.At(k, l).Magnitude;
                if (height * height > needed * floor.At(k, l)) return true;
            }
        }
        return false;
    }

    /// <summary>Tones with the ripple's place among them: the strongest free one that hardly moves; else, where the readout is known, mains ripple that the shutter hides.</summary>
    private static IEnumerable<(PlaneTone[] Tones, int Ripple)> Ripples(PlaneTone[] tones, LightMatrix matrix, KnownReadout? readout)
    {
        int[] slow = [.. Enumerable.Range(0, tones.Length).Where(i => tones[i].TiedTo < 0 && ToneModel.IsSlow(tones[i], matrix) && tones[i].Amplitude >= FaintestRipple)];
        if (slow.Length > 0)
        {
            yield return (tones, slow.MaxBy(i => tones[i].Amplitude));
            yield break;
        }
        if (Array.FindIndex(tones, t => t.IsUnseen) is var known and >= 0)
        {
            yield return (tones, known);
            yield break;
        }
        if (readout is null) yield break;
        foreach (double hertz in MainsCycle.RippleHz)
        {
            var hidden = new PlaneTone(ToneSearch.Wrap(hertz / readout.TickHz), hertz * readout.Seconds / readout.LinesPerHeight, Complex.Zero) { IsUnseen = true };
            if (ToneModel.IsSlow(hidden, matrix) && Abs(hidden.X) * matrix.Ticks > LeastCells) yield return ([.. tones, hidden], tones.Length);
        }
    }

    private static ToneFit? Told(ToneFit fit, PlaneTone[] tones, int rippleIndex, PlaneTone carrier, LightMatrix matrix, double[] weights, CompressionLoss loss, int driftOrders, int steps)
    {
        PlaneTone ripple = Upright(tones[rippleIndex]);
        PlaneTone found = Upright(carrier);
        // What the search made of the smear goes; overtones tied to one of its members stand free.
        bool[] stays = [.. tones.Select((t, i) => i == rippleIndex || t.TiedTo == rippleIndex || !Same(t, carrier, matrix))];
        PlaneTone[] left = ToneModel.Kept(tones, stays);
        int ripplePlace = stays.Take(rippleIndex).Count(s => s);
        int sign = ToneSearch.Wrap(tones[rippleIndex].Nu) < 0 ? -1 : 1;

        double before = Cost(fit, matrix), leastShare = Array.Exists(tones, t => t.AlsoTiedTo >= 0) ? LeastFurtherShare : loss.IsLossy ? LeastShare : LeastPlainShare;
        var readings = new List<(ToneFit Fit, double Cost, double Lead)>();
        for (int member = -2; member <= 2; member++)
        {
            double x = found.X - member * ripple.X, nu = found.Nu - member * ripple.Nu;
            int lead = left.Length;
            List<PlaneTone> list = [.. left, new PlaneTone(x, nu, Complex.Zero)];
            for (int m = -Highest; m <= Highest; m++)
            {
                if (m == 0) continue;
                list.Add(new PlaneTone(x + m * ripple.X, nu + m * ripple.Nu, Complex.Zero) { TiedTo = lead, Multiple = 1, AlsoTiedTo = ripplePlace, AlsoMultiple = sign * m });
            }
            ToneFit tried = ToneFit.Of(matrix, weights, list, driftOrders, StepsToTry);
            double cost = Cost(tried, matrix);
            double[] smear = [.. tried.Tones.Skip(lead).Select(t => t.Amplitude).OrderDescending()];
            // Ripple that the shutter hides is the mains': where it went elsewhere to please, it is not there.
            bool stayed = !ripple.IsUnseen || Abs(tried.Tones[ripplePlace].Nu * sign - ripple.Nu) < 0.05 * ripple.Nu;
            // An encoder bends strong bands a little, and sums would describe that too.
            bool real = stayed && smear[1] > Max(leastShare * smear[0], 2 * loss.SpurFloor(tried.Tones.Max(t => t.Amplitude)));
            if (real && double.IsFinite(cost) && cost < before - Margin && !tried.Tones.Any(t => t.Amplitude > SlowSeries.LargestAmplitude)) readings.Add((tried, cost, tried.Tones[lead].Amplitude));
        }
        if (readings.Count == 0) return null;
        // Of readings that tell the same, the one whose middle is strongest: the others' overtones would be far-fetched sums.
        double least = readings.Min(r => r.Cost);
        ToneFit best = readings.Where(r => r.Cost < least + Margin).MaxBy(r => r.Lead).Fit, further = ToneFit.Of(matrix, weights, best.Tones, driftOrders, steps);
        // Tones this close can throw each other out in a further step.
        return further.Misfit <= best.Misfit ? further : best;
    }

    private static double Cost(ToneFit fit, LightMatrix matrix)
    {
        double cells = (double)matrix.Count * matrix.Lines;
        return cells * Log(fit.Misfit * fit.Misfit) + 3 * fit.Tones.Length * Log(cells);
    }

    /// <summary>With its bands counted upwards, as a frequency above 0 and a readout from the top put them.</summary>
    private static PlaneTone Upright(PlaneTone tone)
    {
        double nu = ToneSearch.Wrap(tone.Nu);
        return nu < 0 ? tone with { X = -tone.X, Nu = -nu } : tone with { Nu = nu };
    }

    /// <summary>Whether two tones are of one smear, which runs along the bands.</summary>
    private static bool Same(PlaneTone a, PlaneTone b, LightMatrix matrix)
    {
        bool Near(PlaneTone to) => ToneSearch.IsWithin(ToneSearch.OneToneCells, 2 * ToneSearch.OneToneCells, matrix, to, a.X, a.Nu);
        return Near(b) || Near(b.Mirrored);
    }
}
