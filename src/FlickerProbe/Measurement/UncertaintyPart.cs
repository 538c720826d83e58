namespace FlickerProbe.Measurement;

/// <summary>One cause of doubt in an estimate and what it contributes alone, as the half-width of a 95 % interval in the estimate's unit.</summary>
/// <param name="Cause">noise, compression, level drift, standing bands and so on: one or two plain words.</param>
/// <param name="HalfWidth">Half-width of the 95 % interval if this were the only cause.</param>
public sealed record UncertaintyPart(string Cause, double HalfWidth)
{
    /// <summary>Those causes that contribute anything, in the order given.</summary>
    public static IReadOnlyList<UncertaintyPart> List(params (string Cause, double HalfWidth)[] causes) =>
        [.. causes.Where(c => c.HalfWidth > 0).Select(c => new UncertaintyPart(c.Cause, c.HalfWidth))];
}
