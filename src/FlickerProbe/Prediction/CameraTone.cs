using FlickerProbe.Units;

namespace FlickerProbe.Prediction;

/// <summary>One component of a light as a camera format records it.</summary>
/// <param name="FrequencyHz">Frequency of the light, hertz, with interval.</param>
/// <param name="Signed">Recorded amplitude relative to the mean with its 95 % interval; negative means upside down.</param>
internal readonly record struct CameraTone(Estimate FrequencyHz, Estimate Signed)
{
    /// <summary>Recorded amplitude without its sign.</summary>
    public double Magnitude => Math.Abs(Signed.Value);

    /// <summary>The interval of the amplitude without its sign.</summary>
    public Estimate Absolute => new(
        Magnitude,
        Signed.Low <= 0 && Signed.High >= 0 ? 0 : Math.Min(Math.Abs(Signed.Low), Math.Abs(Signed.High)),
        Math.Max(Math.Abs(Signed.Low), Math.Abs(Signed.High)));
}
