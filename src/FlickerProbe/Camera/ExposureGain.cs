using static System.Math;

namespace FlickerProbe.Camera;

/// <summary>How much of a light's ripple survives being averaged over one exposure.</summary>
/// <remarks>
/// A shutter open for T averages the light over T, so a ripple of frequency f keeps the fraction
/// G = sinc(fT) = sin(πfT) / (πfT) of its amplitude. The fraction is signed: for 1 &lt; fT &lt; 2 the ripple
/// is recorded upside down. At whole fT nothing is left, which is why 1/100 s hides 100 Hz.
/// <para>Fourier transform of the rectangle function: any text on sampling; worked values in the tests.</para>
/// </remarks>
public static class ExposureGain
{
    /// <summary>The signed fraction G of a ripple's amplitude that is recorded, −0.217…1.</summary>
    public static double At(double frequencyHz, double exposureSeconds)
    {
        double x = PI * frequencyHz * exposureSeconds; // rad
        // sin(x)/x is 0/0 at rest; this close to it the next term, x⁴/120, is below rounding.
        return Abs(x) < 1e-4 ? 1 - x * x / 6 : Sin(x) / x;
    }

    /// <summary>Slope of G against the relative exposure error: dG / d(ln T), dimensionless.</summary>
    public static double SlopePerRelativeExposure(double frequencyHz, double exposureSeconds)
    {
        double x = PI * frequencyHz * exposureSeconds; // rad
        return Abs(x) < 1e-4 ? -x * x / 3 : Cos(x) - Sin(x) / x;
    }

    /// <summary>Half-width of the 95 % interval of G that comes of how well the exposure is known, to first order, dimensionless.</summary>
    public static double HalfWidth(double frequencyHz, ExposureTime exposure)
    {
        ArgumentNullException.ThrowIfNull(exposure);
        return Units.Estimate.Coverage95 * exposure.RelativeDeviation * Abs(SlopePerRelativeExposure(frequencyHz, exposure.Seconds));
    }

    /// <summary>The largest |G| possible at or above a frequency: 1 / (π f T), never above 1. The honest bound for fast drivers.</summary>
    public static double Envelope(double frequencyHz, double exposureSeconds) => Min(1, 1 / (PI * frequencyHz * exposureSeconds));
}
