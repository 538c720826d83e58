namespace FlickerProbe.Units;

/// <summary>A measured number with the 95 % interval that should hold the truth; one unit for all three, named by the member that carries it.</summary>
/// <remarks>The interval need not lie symmetrically around the value: compression, for one, only ever takes amplitude away.
/// The default is 0 in [0, 0], a fine but empty statement; "unknown" is a null <c>Estimate?</c>, never 0. Equality is by value.</remarks>
/// <param name="Value">The best single number.</param>
/// <param name="Low">Lower end of the 95 % interval, not above <paramref name="Value"/>.</param>
/// <param name="High">Upper end of the 95 % interval, not below <paramref name="Value"/>.</param>
public readonly record struct Estimate(double Value, double Low, double High)
{
    /// <summary>Half-width of a 95 % interval in standard deviations of a normal distribution.</summary>
    public const double Coverage95 = 1.959964;

    /// <summary>An estimate known without spread.</summary>
    public static Estimate Exactly(double value) => new(value, value, value);

    /// <summary>The symmetric 95 % interval of a normal distribution with this standard deviation (same unit as the value).</summary>
    public static Estimate Normal(double value, double standardDeviation) =>
        new(value, value - Coverage95 * standardDeviation, value + Coverage95 * standardDeviation);

    /// <summary>Nothing was seen; the truth lies between zero and a bound.</summary>
    public static Estimate AtMost(double bound) => new(0, 0, bound);

    /// <summary>Half of the interval's length, in the unit of the value.</summary>
    public double HalfWidth => (High - Low) / 2;

    /// <summary>From the value to the end of the interval that is further away, in the unit of the value.</summary>
    public double LongerSide => Math.Max(High - Value, Value - Low);

    /// <summary>The standard deviation of a normal distribution whose 95 % interval is as long as this one.</summary>
    public double StandardDeviation => HalfWidth / Coverage95;

    /// <summary>Whether <paramref name="truth"/> lies inside the interval, ends included.</summary>
    public bool Holds(double truth) => truth >= Low && truth <= High;

    /// <summary>The same statement in another unit: all three numbers multiplied by a positive factor.</summary>
    public Estimate Scale(double positiveFactor) => new(Value * positiveFactor, Low * positiveFactor, High * positiveFactor);

    /// <summary>The same statement cut to a range that physics allows.</summary>
    public Estimate Within(double smallest, double largest) =>
        new(Math.Clamp(Value, smallest, largest), Math.Clamp(Low, smallest, largest), Math.Clamp(High, smallest, largest));
}
