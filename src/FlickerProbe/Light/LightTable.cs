namespace FlickerProbe.Light;

/// <summary>Linear light for every code value: the curve computed once instead of once a pixel.</summary>
public static class LightTable
{
    /// <summary>One entry per code of the scale, 2ⁿ in all.</summary>
    /// <param name="curve">The curve to undo.</param>
    /// <param name="scale">Range and depth of the codes.</param>
    /// <param name="weight">Factor on every entry: a channel's share of luminance.</param>
    public static double[] Build(TransferFunction curve, SignalScale scale, double weight = 1)
    {
        double[] table = new double[scale.LargestCode + 1];
        for (int code = 0; code < table.Length; code++) table[code] = weight * curve.ToLinear(scale.LevelOf(code));
        return table;
    }
}
