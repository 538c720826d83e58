namespace FlickerProbe.Bench.Racing;

/// <summary>A goal for a race.</summary>
/// <param name="Ratio">Largest wall time against the bare work; null when there is none to compare with.</param>
/// <param name="WallSeconds">Largest wall time, seconds; null without.</param>
/// <param name="AfterLastFrameSeconds">Largest time after the last frame, seconds; null without.</param>
/// <param name="PeakMegabytes">Largest memory; null without.</param>
internal sealed record Goal(double? Ratio = null, double? WallSeconds = null, double? AfterLastFrameSeconds = null, double? PeakMegabytes = 250);

/// <summary>What a race came to.</summary>
/// <param name="Name">What was raced.</param>
/// <param name="Goal">What was wanted.</param>
/// <param name="Bare">Runs of the bare work; empty when there is none.</param>
/// <param name="Ours">Runs of flickerprobe, in the same order.</param>
internal sealed record RaceResult(string Name, Goal Goal, IReadOnlyList<Run> Bare, IReadOnlyList<Run> Ours)
{
    /// <summary>Median over the rounds of ours against bare in the same round; null without bare work.</summary>
    public double? Ratio => Bare.Count == 0 ? null : Median(Ours.Zip(Bare, (a, b) => a.WallSeconds / b.WallSeconds));

    /// <summary>The same for processor time.</summary>
    public double? ProcessorRatio => Bare.Count == 0 ? null : Median(Ours.Zip(Bare, (a, b) => a.ProcessorSeconds / b.ProcessorSeconds));

    /// <summary>Whether every goal was met.</summary>
    public bool IsMet =>
        !(Ratio > Goal.Ratio) && !(Median(Ours.Select(r => r.WallSeconds)) > Goal.WallSeconds)
        && !(Median(Ours.Select(r => r.AfterLastFrameSeconds)) > Goal.AfterLastFrameSeconds) && !(Ours.Max(r => r.PeakBytes) / 1e6 > Goal.PeakMegabytes);

    /// <summary>The middle of the numbers.</summary>
    public static double Median(IEnumerable<double> numbers)
    {
        double[] sorted = [.. numbers.Order()];
        return sorted.Length == 0 ? double.NaN : (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
    }
}

/// <summary>One race: flickerprobe and the bare work, turn by turn.</summary>
/// <param name="Name">What is raced.</param>
/// <param name="Goal">What is wanted.</param>
/// <param name="Rounds">How often.</param>
/// <param name="Bare">Does the bare work; null when there is none.</param>
/// <param name="Ours">Does ours.</param>
internal sealed record Race(string Name, Goal Goal, int Rounds, Func<Run>? Bare, Func<Run> Ours)
{
    /// <summary>Runs it; one round before the first fills the caches and does not count.</summary>
    public RaceResult Run()
    {
        List<Run> bare = [], ours = [];
        for (int round = Rounds > 1 ? -1 : 0; round < Rounds; round++)
        {
            // Who goes first changes from round to round, so that neither always finds the machine warmer.
            Run? first = round % 2 == 0 ? Bare?.Invoke() : null;
            Run mine = Ours();
            Run? other = first ?? Bare?.Invoke();
            if (round < 0) continue;
            ours.Add(mine);
            if (other is not null) bare.Add(other);
        }
        return new RaceResult(Name, Goal, bare, ours);
    }
}
