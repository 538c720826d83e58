using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>One component of a light as a camera format records it: amplitude in the light times the signed exposure gain.</summary>
/// <param name="FrequencyHz">Frequency of the light, hertz, with interval.</param>
/// <param name="Source">Amplitude in the light, with interval.</param>
/// <param name="Cycles">Cycles per exposure f · Tₑ; null when the exposure is unknown.</param>
/// <param name="Spread">Relative half-width of the 95 % interval of f · Tₑ.</param>
internal readonly record struct CameraTone(Estimate FrequencyHz, Estimate Source, double? Cycles, double Spread)
{
    /// <summary>The recorded amplitude, negative when upside down, with f · Tₑ off by so much of its spread, −1…1.
    /// An unknown exposure is anything from none (the whole amplitude, 0…1) to endless (nothing, −1).</summary>
    public double At(double offset) => Source.Value * (Cycles is { } cycles ? GainRange.Sinc(cycles * (1 + Spread * offset)) : Min(1, 1 + offset));

    /// <summary>Recorded amplitude without its sign.</summary>
    public double Magnitude => Abs(At(0));

    /// <summary>What the doubt about the amplitude in the light alone can add on camera.</summary>
    public double MayAdd => (Source.High - Source.Value) * Gain.LargestMagnitude;

    /// <summary>What the doubt about the amplitude in the light alone can take away on camera.</summary>
    public double MayTake => Source.Value <= 0 ? 0 : (Source.Value - Source.Low) * Magnitude / Source.Value;

    /// <summary>The interval of the recorded amplitude without its sign, all doubts together; independent ones in quadrature.</summary>
    public Estimate Absolute
    {
        get
        {
            GainRange gain = Gain;
            double magnitude = Magnitude, least = gain is { Low: <= 0, High: >= 0 } ? 0 : Min(Abs(gain.Low), Abs(gain.High));
            double above = double.Hypot(MayAdd, Source.Value * gain.LargestMagnitude - magnitude);
            double below = double.Hypot(MayTake, magnitude - Source.Value * least);
            return new Estimate(magnitude, Max(0, magnitude - below), magnitude + above);
        }
    }

    private GainRange Gain => Cycles is { } cycles ? GainRange.Over(cycles * (1 - Spread), cycles * (1 + Spread)) : new GainRange(0, 1);
}
