namespace FlickerProbe.Light;

/// <summary>Which code values stand for black and nominal white.</summary>
public enum SignalRange
{
    /// <summary>16…235 at 8 bits, 64…940 at 10, 256…3760 at 12: room is kept below black and above white.</summary>
    Limited,

    /// <summary>0…2ⁿ − 1: every code is picture.</summary>
    Full,
}

/// <summary>How code values map to the signal level V: 0 is black, 1 is nominal white.</summary>
/// <remarks>
/// Limited: V = (D − 16·2ⁿ⁻⁸) / (219·2ⁿ⁻⁸); codes outside give V below 0 or above 1, which is kept, not cut, so that noise around
/// black averages to black. Full: V = D / (2ⁿ − 1).
/// <para>Recommendation ITU-R BT.709-6, item 5 (quantisation levels) and BT.2100-2, table 9 (narrow and full range).</para>
/// </remarks>
/// <param name="Range">Limited or full.</param>
/// <param name="Depth">Bits n of a code, 8 to 16.</param>
public readonly record struct SignalScale(SignalRange Range, int Depth)
{
    /// <summary>Largest code, 2ⁿ − 1.</summary>
    public int LargestCode => (1 << Depth) - 1;

    /// <summary>Code of black.</summary>
    public int BlackCode => Range == SignalRange.Limited ? 16 << (Depth - 8) : 0;

    /// <summary>Code of nominal white.</summary>
    public int WhiteCode => Range == SignalRange.Limited ? 235 << (Depth - 8) : LargestCode;

    /// <summary>Level change of one code step.</summary>
    public double LevelPerCode => 1.0 / (WhiteCode - BlackCode);

    /// <summary>Level of an 8-bit code step on this scale, whatever the depth.</summary>
    public double LevelPerEightBitStep => Range == SignalRange.Limited ? 1.0 / 219 : 1.0 / 255;

    /// <summary>Signal level V of a code.</summary>
    public double LevelOf(double code) => (code - BlackCode) / (WhiteCode - BlackCode);

    /// <summary>The code, not rounded, that has the level V.</summary>
    public double CodeOf(double level) => BlackCode + level * (WhiteCode - BlackCode);
}
