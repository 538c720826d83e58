namespace FlickerProbe.Measurement;

/// <summary>One cause of doubt in an estimate and what it contributes alone, as the half-width of a 95 % interval in the estimate's unit.</summary>
/// <param name="Cause">noise, compression, level drift, standing bands and so on: one or two plain words.</param>
/// <param name="HalfWidth">Half-width of the 95 % interval if this were the only cause.</param>
public sealed record UncertaintyPart(string Cause, double HalfWidth)
{
    /// <summary>Those causes that contribute anything, in the order given.</summary>
    public static IReadOnlyList<UncertaintyPart> List(params ReadOnlySpan<(string Cause, double HalfWidth)> causes)
    {
        var parts = new List<UncertaintyPart>();
        foreach ((string cause, double halfWidth) in causes)
        {
            if (halfWidth > 0) parts.Add(new UncertaintyPart(cause, halfWidth));
        }
        return parts;
    }
}
