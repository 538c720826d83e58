using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Fits bands that hardly move from many starts and as a fundamental with its overtones, and hands out the reading that leaves least.</summary>
/// <remarks>
/// Where a light's rate lies near a multiple of the frame rate all of its overtones hardly move either. One cosine at a time then leans on
/// the others and goes astray; tied to one rate they hold each other. Slow change needs few moments: ticks are averaged in blocks, which
/// makes tens of fits cheap. Least squares from several starts: see <see cref="ToneFit"/>.
/// </remarks>
internal static class SlowSeries
{
    /// <summary>Blocks that the clip's ticks are averaged into.</summary>
    private const int Blocks = 128;

    /// <summary>Readings tried from each of the best starts: this many tones tied to one rate.</summary>
    private static readonly int[] Lengths = [3, 7];

    /// <summary>Starts that are tried with overtones, and what their rate is divided by.</summary>
    private const int BestStarts = 4;
    private static readonly int[] Divisors = [1, 2, 3];

    /// <summary>Members of a series stand this many deviations above nothing.</summary>
    private const double ClearDeviations = 4;

    /// <summary>What lies between the overtones of the strongest member must have this share of it.</summary>
    private const double BetweenOvertones = 0.2;

    private const int MostSteps = 12;

    /// <summary>Members that may lead a plainer series.</summary>
    private static readonly int[] PlainerOrders = [2, 3];

    /// <summary>No cosine of a light exceeds twice its mean.</summary>
    internal const double LargestAmplitude = 2;

    /// <summary>The tones of a reading, the lead first and its overtones tied to it (index 0), and the power of the slow change that they explain.</summary>
    internal sealed record Reading(PlaneTone[] Tones, double Explained)
    {
        /// <summary>What it leaves, and what its numbers cost.</summary>
        public double Cost { get; init; }

        /// <summary>Amplitude of the strongest tone.</summary>
        public double Largest => Tones.Max(t => t.Amplitude);
    }

    /// <summary>The best reading; null when no fit makes sense.</summary>
    /// <param name="matrix">The take.</param>
    /// <param name="residual">What the tones known so far leave.</param>
    /// <param name="weights">Weights of the lines.</param>
    /// <param name="starts">Places from the search for slow beats.</param>
    /// <param name="driftOrders">Slow cosines of common level to fit beside.</param>
    /// <param name="loss">What the encoder may have swallowed or invented.</param>
    /// <param name="readout">The camera's readout; null when unknown or global.</param>
    public static Reading? Best(
        LightMatrix matrix, float[] residual, double[] weights, IReadOnlyList<PlaneTone> starts, int driftOrders, CompressionLoss loss, KnownReadout? readout)
    {
        int block = Max(1, matrix.Ticks / (Blocks * matrix.Parities));
        LightMatrix slow = LightMatrix.Averaged(matrix, residual, block);
        double before = ToneFit.Of(slow, weights, [], driftOrders, 0).Sigma;
        Reading? Try(PlaneTone start, int tones) => Fit(slow, weights, Series(start, tones), driftOrders, before);
        Reading[] single = [.. starts.AsParallel().AsOrdered().Select(s => Try(s with { X = s.X * block }, 1)).OfType<Reading>().OrderBy(r => r.Cost)];
        if (single.Length == 0) return null;
        // What stood out may itself be an overtone: of a light at a half or a third of its rate.
        IEnumerable<Reading> series = single.Take(BestStarts)
            .SelectMany(s => Divisors.Select(d => s.Tones[0] with { X = s.Tones[0].X / d, Nu = s.Tones[0].Nu / d }))
            .SelectMany(s => Lengths.Select(l => (Start: s, Tones: l))).AsParallel().AsOrdered()
            .Select(job => Try(job.Start, job.Tones)).OfType<Reading>()
            .Select(r => Fit(slow, weights, Plain(r.Tones, slow.Ticks, loss), driftOrders, before) ?? r);
        Reading[] all = [.. single, .. series];
        // Where the readout is known, most readings would need a light that repeats at no frequency at all.
        Reading[] possible = readout is null ? all : [.. all.Where(r => readout.Allows(r.Tones[0].X / block, r.Tones[0].Nu, r.Tones[0].NuDeviation))];
        Reading best = (possible.Length == 0 ? all : possible).MinBy(r => r.Cost)!;
        double shift = (matrix.Ticks - slow.Ticks * block) / 2.0;
        return best with
        {
            Tones = [.. best.Tones.Select(t => t with
            {
                X = t.X / block,
                Z = t.Z * Complex.FromPolarCoordinates(1, 2 * PI * t.X / block * shift),
                Slow = true,
                SearchAmplitude = best.Largest,
            })],
        };
    }

    private static PlaneTone[] Series(PlaneTone start, int tones) =>
        [.. Enumerable.Range(1, tones).Select(m => new PlaneTone(start.X * m, start.Nu * m, m == 1 ? start.Z : Complex.Zero) { TiedTo = m == 1 ? -1 : 0, Multiple = m })];

    /// <summary>The members that stand clear of the noise, told by the slowest rate that still has them all as its multiples.</summary>
    private static PlaneTone[] Plain(PlaneTone[] tones, int ticks, CompressionLoss loss)
    {
        PlaneTone strongest = tones.MaxBy(t => Shown(t, ticks))!;
        bool halved = tones.Any(t => t.Multiple % strongest.Multiple != 0 && StandsBetween(t, strongest, ticks, loss));
        PlaneTone[] clear = [.. tones.Where(t => t.Amplitude > ClearDeviations * t.AmplitudeDeviation && (halved || t.Multiple % strongest.Multiple == 0))];
        if (clear.Length == 0) return [strongest with { TiedTo = -1, Multiple = 1 }];
        int common = clear.Select(t => t.Multiple).Aggregate((a, b) => (int)BigInteger.GreatestCommonDivisor(a, b));
        PlaneTone lead = tones[common - 1] with { TiedTo = -1, Multiple = 1 };
        return [lead, .. clear.Where(t => t.Multiple != common).Select(t => t with { TiedTo = 0, Multiple = t.Multiple / common })];
    }

    /// <summary>Whether a tone between the overtones of a stronger one is there: it makes a light of half or a third of that one's rate.</summary>
    /// <remarks>Drift, settling and what the encoder swallows of a strong slow tone do the same, and sooner than a lamp does.</remarks>
    /// <param name="tone">The tone between.</param>
    /// <param name="strongest">The stronger one.</param>
    /// <param name="ticks">Ticks of the clip: of a small part of a cycle only a part of the amplitude is seen.</param>
    /// <param name="loss">What the encoder may have done.</param>
    public static bool StandsBetween(PlaneTone tone, PlaneTone strongest, int ticks, CompressionLoss loss) =>
        Shown(tone, ticks) - 2 * (loss.DeadZoneOf(tone.RowsPerBand) + tone.AmplitudeDeviation) > BetweenOvertones * strongest.Amplitude;

    /// <summary>How much of a tone's amplitude a clip shows: of a small part of a cycle only that part.</summary>
    private static double Shown(PlaneTone tone, int ticks) => tone.Amplitude * Min(1, 2 * Abs(ToneSearch.Wrap(tone.X)) * ticks);

    /// <summary>The tones with slow series led by their strongest member where nothing between its overtones stands; null where all are led so.</summary>
    public static PlaneTone[]? WithoutFaintHalves(PlaneTone[] tones, LightMatrix matrix, CompressionLoss loss)
    {
        foreach (int lead in Leads(tones, matrix))
        {
            int[] members = Members(tones, lead);
            int strongest = members.MaxBy(i => Shown(tones[i], matrix.Ticks)), order = NumberOf(tones, strongest, lead);
            int[] between = [.. members.Where(i => NumberOf(tones, i, lead) % order != 0)];
            if (between.Length == 0 || between.Any(i => StandsBetween(tones[i], tones[strongest], matrix.Ticks, loss))) continue;
            PlaneTone[] left = LedBy(tones, lead, order, tones[strongest], null);
            return WithoutFaintHalves(left, matrix, loss) ?? left;
        }
        return null;
    }

    /// <summary>The tones with a slow series led by its second or third member, what lies between that one's overtones left out, one way after another.</summary>
    public static IEnumerable<PlaneTone[]> Plainer(PlaneTone[] tones, LightMatrix matrix)
    {
        foreach (int lead in Leads(tones, matrix))
        {
            int[] members = Members(tones, lead);
            foreach (int order in PlainerOrders)
            {
                // Members that were not seen start from where they would be.
                PlaneTone At(int number) => members.Where(i => NumberOf(tones, i, lead) == number).Select(i => tones[i])
                    .FirstOrDefault(new PlaneTone(number * tones[lead].X, number * tones[lead].Nu, Complex.Zero) { Slow = true, SearchAmplitude = tones[lead].SearchAmplitude });
                yield return LedBy(tones, lead, order, At(order), At(2 * order));
            }
        }
    }

    private static IEnumerable<int> Leads(PlaneTone[] tones, LightMatrix matrix) =>
        Enumerable.Range(0, tones.Length).Where(i => tones[i].TiedTo < 0 && ToneModel.IsSlow(tones[i], matrix));

    private static int[] Members(PlaneTone[] tones, int lead) =>
        [.. Enumerable.Range(0, tones.Length).Where(i => i == lead || (tones[i].TiedTo == lead && tones[i].AlsoTiedTo < 0))];

    private static int NumberOf(PlaneTone[] tones, int member, int lead) => member == lead ? 1 : tones[member].Multiple;

    /// <summary>The tones with a series led by the member of a number: its overtones follow, what lies between goes, the other tones stay.</summary>
    /// <param name="tones">All tones.</param>
    /// <param name="lead">The series' lead until now.</param>
    /// <param name="order">Which member of it leads.</param>
    /// <param name="newLead">That member.</param>
    /// <param name="second">Its first overtone, where one shall be there in any case.</param>
    private static PlaneTone[] LedBy(PlaneTone[] tones, int lead, int order, PlaneTone newLead, PlaneTone? second)
    {
        int[] members = Members(tones, lead), others = [.. Enumerable.Range(0, tones.Length).Except(members)];
        var left = new List<PlaneTone> { newLead with { TiedTo = -1, Multiple = 1 } };
        if (second is not null) left.Add(second with { TiedTo = 0, Multiple = 2 });
        left.AddRange(members.Where(i => NumberOf(tones, i, lead) % order == 0 && NumberOf(tones, i, lead) >= (second is null ? 2 : 3) * order)
            .Select(i => tones[i] with { TiedTo = 0, Multiple = tones[i].Multiple / order }));
        int before = left.Count;
        int Place(int tone) => tone < 0 ? -1 : before + Array.IndexOf(others, tone);
        // Sums with the series that changes stand free.
        left.AddRange(others.Select(i => members.Contains(tones[i].TiedTo) || members.Contains(tones[i].AlsoTiedTo)
            ? tones[i] with { TiedTo = -1, Multiple = 1, AlsoTiedTo = -1, AlsoMultiple = 0 }
            : tones[i] with { TiedTo = Place(tones[i].TiedTo), AlsoTiedTo = Place(tones[i].AlsoTiedTo) }));
        return [.. left];
    }

    private static Reading? Fit(LightMatrix slow, double[] weights, PlaneTone[] seeds, int driftOrders, double before)
    {
        ToneFit fit = ToneFit.Of(slow, weights, seeds, driftOrders, MostSteps);
        if (fit.Tones.Any(t => t.Amplitude > LargestAmplitude || !double.IsFinite(t.Amplitude))) return null;
        // Schwarz, "Estimating the dimension of a model", Ann. Statist. 6 (1978): each further overtone must pay for its two numbers.
        double cells = (double)slow.Count * slow.Lines;
        return new Reading(fit.Tones, before * before - fit.Misfit * fit.Misfit) { Cost = cells * Log(fit.Misfit * fit.Misfit) + 2 * seeds.Length * Log(cells) };
    }
}
