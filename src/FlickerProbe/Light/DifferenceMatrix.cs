namespace FlickerProbe.Light;

/// <summary>Red, green and blue signal back from luma and colour difference.</summary>
/// <remarks>R′ = Y′ + 2(1−Kr)·Cr, B′ = Y′ + 2(1−Kb)·Cb, G′ from Y′ = Kr R′ + Kg G′ + Kb B′: Recommendation ITU-R BT.709-6, items 3.2 to 3.4;
/// levels of the difference codes: items 4.6 and 5 (224 steps at 8 bits), BT.2100-2 table 9 (full range).</remarks>
public static class DifferenceMatrix
{
    /// <summary>Colour difference −0.5 … 0.5 of a code, which need not be whole.</summary>
    public static double LevelOf(double code, SignalScale scale)
    {
        double span = scale.Range == SignalRange.Limited ? 224 << (scale.Depth - 8) : scale.LargestCode;
        return (code - (1 << (scale.Depth - 1))) / span;
    }

    /// <summary>Signal levels of the primaries.</summary>
    /// <param name="luma">Level of luma, 0 black … 1 nominal white.</param>
    /// <param name="cb">Blue difference, −0.5 … 0.5.</param>
    /// <param name="cr">Red difference, −0.5 … 0.5.</param>
    /// <param name="matrix">Coefficients K of the clip's matrix.</param>
    public static (double Red, double Green, double Blue) Primaries(double luma, double cb, double cr, LuminanceWeights matrix)
    {
        double red = luma + 2 * (1 - matrix.Red) * cr, blue = luma + 2 * (1 - matrix.Blue) * cb;
        return (red, (luma - matrix.Red * red - matrix.Blue * blue) / matrix.Green, blue);
    }
}
