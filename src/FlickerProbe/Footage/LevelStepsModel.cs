using static System.Math;

namespace FlickerProbe.Footage;

/// <summary>The best description of a stepped level trace: which beats it carries and how it is cut into pieces.</summary>
internal sealed record LevelStepsModel(
    double[] Trace, IReadOnlyList<LevelStepsBeats.Beat> Beats, IReadOnlyList<LevelStepsPartition.Piece> Pieces, double Noise)
{
    private const int MostBeats = 2;

    /// <summary>Never trust a trace to better than this share: the model's pieces are not that straight.</summary>
    private const double SmallestNoise = 0.001;

    /// <summary>Tries the trace with no beat and with the strongest one, two, three, and keeps what describes it in the fewest words.</summary>
    /// <remarks>Choice between models: Schwarz, Annals of Statistics 6(2), 461–464, 1978.</remarks>
    internal static LevelStepsModel Best(double[] trace, int shortest, double smallestStep)
    {
        IReadOnlyList<LevelStepsBeats.Beat> beats = LevelStepsBeats.Find(trace, MostBeats);
        LevelStepsModel? best = null;
        double fewestWords = double.PositiveInfinity;
        for (int count = 0; count <= beats.Count; count++)
        {
            (LevelStepsModel model, double words) = Fit(trace, [.. beats.Take(count).SelectMany(WithOvertone)], shortest, smallestStep);
            if (words < fewestWords) (best, fewestWords) = (model, words);
        }
        return best!;
    }

    // ln(1 + a cos) = a cos − a²/4 (1 + cos 2·) + …: the logarithm alone gives a beat an overtone, and the light may have its own.
    private static LevelStepsBeats.Beat[] WithOvertone(LevelStepsBeats.Beat beat) =>
        [beat, new(2 * beat.RadiansPerSample, Max(beat.Amplitude * beat.Amplitude / 4, beat.Amplitude / 10))];

    private static (LevelStepsModel Model, double Words) Fit(double[] trace, IReadOnlyList<LevelStepsBeats.Beat> beats, int shortest, double smallestStep)
    {
        int terms = 3 + 2 * beats.Count; // line, beats, and the place of the cut
        double noise = Max(SmallestNoise, FirstNoise(trace, beats));
        List<LevelStepsPartition.Piece> pieces = [];
        for (int round = 0; round < 2; round++)
        {
            var partition = new LevelStepsPartition(trace, beats, noise);
            double penalty = Max(terms * noise * noise * Log(trace.Length), smallestStep * smallestStep * shortest / 2);
            pieces = partition.Cut(penalty, shortest);
            noise = Max(SmallestNoise, PooledNoise(pieces, 2 + 2 * beats.Count));
        }
        double squares = pieces.Sum(p => p.Squares);
        double words = trace.Length * Log(squares / trace.Length + SmallestNoise * SmallestNoise) + pieces.Count * terms * Log(trace.Length);
        return (new LevelStepsModel(trace, beats, pieces, noise), words);
    }

    // From differences, which know nothing of steps but few; what the beats put into them is taken off.
    private static double FirstNoise(double[] trace, IReadOnlyList<LevelStepsBeats.Beat> beats)
    {
        double[] difference = new double[trace.Length - 1];
        for (int i = 0; i < difference.Length; i++) difference[i] = trace[i + 1] - trace[i];
        double spread = 1.4826 * LevelStepsBeats.MedianAbsolute(difference);
        double fromBeats = beats.Sum(b => Pow(b.Amplitude * 2 * Sin(b.RadiansPerSample / 2), 2) / 2);
        return Sqrt(Max(spread * spread - fromBeats, spread * spread / 100) / 2);
    }

    // Median over the pieces, so that one badly fitted fade does not count.
    private static double PooledNoise(List<LevelStepsPartition.Piece> pieces, int terms)
    {
        double[] each = [.. pieces.Where(p => p.End - p.First > terms + 2).Select(p => Sqrt(p.Squares / (p.End - p.First - terms))).Order()];
        return each.Length == 0 ? SmallestNoise : each[each.Length / 2];
    }
}
