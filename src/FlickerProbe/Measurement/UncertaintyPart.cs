namespace FlickerProbe.Measurement;

/// <summary>One cause of doubt in an estimate and what it contributes alone, as the half-width of a 95 % interval in the estimate's unit.</summary>
/// <param name="Cause">noise, compression.</param>
/// <param name="HalfWidth">Half-width of the 95 % interval if this were the only cause.</param>
public sealed record UncertaintyPart(string Cause, double HalfWidth);
