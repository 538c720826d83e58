using Xunit;

namespace FlickerProbe.Tests.References;

/// <summary>Published transfer curves at a few points.</summary>
/// <remarks>
/// Formulas: Recommendation ITU-R BT.709-6 item 1.2; IEC 61966-2-1:1999 clause 5.2; Recommendation ITU-R BT.2100-2 tables 4 and 5;
/// SMPTE ST 2084:2014. The signal of L = 0.18 agrees with the doctest values of the open library colour-science/colour
/// (modules models/rgb/transfer_functions, commit 9d74314, BSD-3), which cite the same documents; the other points were
/// computed from those formulas by an independent script, rounded to the digits given.
/// </remarks>
public static class TransferFunctionValues
{
    /// <summary>Curve, scene light L, signal V.</summary>
    public static TheoryData<string, double, double> SignalOfLight => new()
    {
        { "bt709", 0.001, 0.004500 }, { "bt709", 0.01, 0.045000 }, { "bt709", 0.018, 0.081248 }, { "bt709", 0.18, 0.409008 }, { "bt709", 0.50, 0.705515 }, { "bt709", 0.90, 0.949110 },
        { "srgb", 0.001, 0.012920 }, { "srgb", 0.01, 0.099853 }, { "srgb", 0.018, 0.142826 }, { "srgb", 0.18, 0.461356 }, { "srgb", 0.50, 0.735357 }, { "srgb", 0.90, 0.954687 },
        { "hlg", 0.001, 0.054772 }, { "hlg", 0.01, 0.173205 }, { "hlg", 0.018, 0.232379 }, { "hlg", 0.18, 0.672358 }, { "hlg", 0.50, 0.871643 }, { "hlg", 0.90, 0.980675 },
    };

    /// <summary>Curve, signal V, light L.</summary>
    public static TheoryData<string, double, double> LightOfSignal => new()
    {
        { "bt709", 0.081, 0.017945 }, { "bt709", 0.25, 0.078154 }, { "bt709", 0.50, 0.259589 }, { "bt709", 0.75, 0.563522 }, { "bt709", 1, 1 },
        { "srgb", 0.081, 0.007323 }, { "srgb", 0.25, 0.050876 }, { "srgb", 0.50, 0.214041 }, { "srgb", 0.75, 0.522522 }, { "srgb", 1, 1 },
        { "hlg", 0.081, 0.002187 }, { "hlg", 0.25, 0.020833 }, { "hlg", 0.50, 0.083333 }, { "hlg", 0.75, 0.264963 }, { "hlg", 1, 1 },
        // BT.1886 (Recommendation ITU-R BT.1886, annex 1) with white 100 and black 0 cd/m² is the pure power 2.4.
        { "gamma2.4", 0.081, 0.002401 }, { "gamma2.4", 0.25, 0.035897 }, { "gamma2.4", 0.50, 0.189465 }, { "gamma2.4", 0.75, 0.501357 }, { "gamma2.4", 1, 1 },
        // WCAG 2.x relative luminance of grey codes (sRGB): 64, 109 and 231 of 255.
        { "srgb", 64 / 255.0, 0.051269 }, { "srgb", 109 / 255.0, 0.152926 }, { "srgb", 231 / 255.0, 0.799103 },
    };

    /// <summary>PQ signal V, display light cd/m².</summary>
    public static TheoryData<double, double> LuminanceOfPq => new()
    {
        { 0.081, 0.1891 }, { 0.25, 5.1542 }, { 0.50, 92.2457 }, { 0.75, 983.378 }, { 1, 10000 },
        { 0.149946, 1 }, { 0.357012, 20 }, { 0.508078, 100 }, { 0.555955, 160 }, { 0.580689, 203 }, { 0.751827, 1000 }, { 0.902572, 4000 },
    };

    /// <summary>Depth in bits, limited-range code of black, of nominal white, of the largest code. ITU-R BT.709-6 item 5, BT.2100-2 table 9.</summary>
    public static TheoryData<int, int, int, int> LimitedCodes => new() { { 8, 16, 235, 255 }, { 10, 64, 940, 1023 }, { 12, 256, 3760, 4095 } };

    /// <summary>Depth in bits, change of linear light by one limited-range code at L = 0.18 in BT.709, as a share. Computed from the formulas above.</summary>
    public static TheoryData<int, double> CodeStepAtMiddleGrey => new() { { 10, 0.00499 }, { 8, 0.01997 } };

    /// <summary>Light L, dlnV/dlnL of BT.709: by how much depth measured on codes would be understated. Computed from the formula.</summary>
    public static TheoryData<double, double> SmallSignalGain => new() { { 0.02, 0.945 }, { 0.05, 0.689 }, { 0.1, 0.603 }, { 0.18, 0.559 }, { 0.4, 0.521 }, { 0.8, 0.500 } };
}
