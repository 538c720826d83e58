namespace FlickerProbe.Room;

/// <summary>Stroboscopic visibility measure: SVM = (Σ (Cₘ / T(fₘ))^3.7)^(1/3.7) over 80…2000 Hz; 1 is seen by an average observer half the time.</summary>
/// <remarks>
/// Measure and exponent: IEC TR 63158:2018 with COR1, as restated in an encyclopedia; range 80…2000 Hz from trade texts. Threshold constants are
/// from memory of CIE TN 006:2016 (T1) and Perz et al., JOSA A 35(2), 2018 (T2); the two agree within 3 % at 80–120 Hz and part above it.
/// </remarks>
public static class StroboscopicVisibility
{
    private const double Exponent = 3.7;

    /// <summary>Lowest frequency that counts, hertz.</summary>
    public const double LowestHz = 80;

    /// <summary>Highest frequency that counts, hertz.</summary>
    public const double HighestHz = 2000;

    /// <summary>Amplitude (relative to the mean) of a sine that an average observer sees half the time.</summary>
    public static double Threshold(double frequencyHz, StroboscopicThreshold function) => function switch
    {
        StroboscopicThreshold.Cie2016 => 1 / (1 + Math.Exp(-0.00518 * (frequencyHz - 306.6))) + 20 * Math.Exp(-frequencyHz / 10),
        StroboscopicThreshold.Perz2018 => 2.865e-5 * Math.Pow(frequencyHz, 1.543) + 0.225,
        _ => throw new ArgumentOutOfRangeException(nameof(function), function, "No such threshold function."),
    };

    /// <summary>The measure of a light given as amplitudes relative to the mean at their frequencies.</summary>
    public static double Of(IEnumerable<(double FrequencyHz, double Amplitude)> tones, StroboscopicThreshold function) => Math.Pow(
        tones.Where(t => t.FrequencyHz is >= LowestHz and <= HighestHz)
            .Sum(t => Math.Pow(Math.Abs(t.Amplitude) / Threshold(t.FrequencyHz, function), Exponent)),
        1 / Exponent);
}
