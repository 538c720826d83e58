namespace FlickerProbe.Light;

/// <summary>A pure power: L = V^γ; below black the curve goes on point-symmetrically, so that noise around black averages to black.</summary>
internal sealed record PowerCurve(string Label, double Exponent) : TransferFunction
{
    public override string Name => Label;

    public override double ToLinear(double level) => Math.CopySign(Math.Pow(Math.Abs(level), Exponent), level);
}
