namespace FlickerProbe.Room;

/// <summary>Modulation limits of IEEE Std 1789-2015, recommended practices 1 (low risk) and 2 (no observable effect level).</summary>
/// <remarks>
/// Break points and the 100 Hz values (8.0 %, 3.3 %) as restated in secondary texts; the standard itself was not opened. It is read here for the
/// fundamental of a waveform only: how it judges several overtones together was not verified, so no conformance is claimed.
/// 90 Hz itself belongs to the upper branch (the limit is 2.5 or 1 % a hertz below it, 8 or 3.33 % from it on): the project's reading.
/// </remarks>
public static class Ieee1789
{
    /// <summary>Largest modulation of low risk at a frequency, as a ratio; null above 1250 Hz, where there is no limit.</summary>
    public static double? LowRisk(double frequencyHz) => frequencyHz switch
    {
        < 90 => 0.00025 * frequencyHz,
        <= 1250 => 0.0008 * frequencyHz,
        _ => null,
    };

    /// <summary>Largest modulation without observable effect at a frequency, as a ratio; null above 3000 Hz, where there is no limit.</summary>
    public static double? NoObservableEffect(double frequencyHz) => frequencyHz switch
    {
        < 90 => 0.0001 * frequencyHz,
        <= 3000 => 0.000333 * frequencyHz,
        _ => null,
    };
}
