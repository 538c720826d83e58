namespace FlickerProbe.Light;

/// <summary>The camera curve of BT.709, undone: L = V / 4.5 below V = 0.081, else ((V + 0.099) / 1.099)^(1/0.45).</summary>
/// <remarks>
/// Recommendation ITU-R BT.709-6, item 1.2; BT.601-7 item 2.6.4 and BT.2020-2 table 4 have the same curve. The three-decimal constants
/// leave a step of 0.3 % at the break, as published.
/// </remarks>
internal sealed record Bt709Curve : TransferFunction
{
    public override string Name => "bt709";

    public override double ToLinear(double level) => level < 0.081 ? level / 4.5 : Math.Pow((level + 0.099) / 1.099, 1 / 0.45);
}
