namespace FlickerProbe.Rendering.Light;

/// <summary>The time each independent rhythm of a light keeps: own time = offset + rate · t, valid for one exposure.</summary>
internal sealed class Clockwork
{
    public readonly double[] OffsetSeconds;
    public readonly double[] Rate;

    public Clockwork(int rhythms)
    {
        OffsetSeconds = new double[rhythms];
        Rate = new double[rhythms];
        Array.Fill(Rate, 1.0);
    }
}

/// <summary>One independent clock of a light, with the period after which all that hangs on it repeats.</summary>
internal sealed class Rhythm
{
    public required bool MainsLocked { get; init; }
    public required double PeriodSeconds { get; set; }
}

/// <summary>Sorts the leaves of lights into independent rhythms.</summary>
internal sealed class RhythmSet
{
    private const int MostPeriods = 64;
    private readonly List<Rhythm> _rhythms = [];

    public IReadOnlyList<Rhythm> Rhythms => _rhythms;

    /// <summary>The rhythm a leaf belongs to: the mains for all that hang on it, otherwise one per frequency.</summary>
    public int IndexOf(double frequencyHz, bool mainsLocked)
    {
        double period = 1 / frequencyHz;
        for (int i = 0; i < _rhythms.Count; i++)
        {
            Rhythm r = _rhythms[i];
            if (r.MainsLocked != mainsLocked) continue;
            if (CommonPeriod(r.PeriodSeconds, period) is { } common)
            {
                r.PeriodSeconds = common;
                return i;
            }
        }

        _rhythms.Add(new Rhythm { MainsLocked = mainsLocked, PeriodSeconds = period });
        return _rhythms.Count - 1;
    }

    private static double? CommonPeriod(double a, double b)
    {
        for (int k = 1; k <= MostPeriods; k++)
        {
            double ratio = k * a / b;
            double whole = Math.Round(ratio);
            if (whole is >= 1 and <= MostPeriods && Math.Abs(ratio - whole) < 1e-12 * whole) return k * a;
        }

        return null;
    }
}
