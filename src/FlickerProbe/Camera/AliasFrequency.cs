namespace FlickerProbe.Camera;

/// <summary>What is left of a frequency after sampling at the frame rate.</summary>
/// <remarks>α = f − kF with k whole and −F/2 &lt; α ≤ F/2; negative: the pattern appears to run backwards. Sampling theorem, any text.</remarks>
public static class AliasFrequency
{
    /// <summary>The alias in hertz of <paramref name="frequencyHz"/> sampled <paramref name="rate"/> times a second.</summary>
    public static double Of(double frequencyHz, FrameRate rate)
    {
        // f − F·round(f/F), written with the fraction so that 120 Hz at 30000/1001 is 120/1001 Hz to the last digit.
        double cycles = frequencyHz * rate.Denominator / rate.Numerator;
        double whole = Math.Ceiling(cycles - 0.5);
        return (frequencyHz * rate.Denominator - whole * rate.Numerator) / rate.Denominator;
    }
}
