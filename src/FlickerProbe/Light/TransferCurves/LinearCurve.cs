namespace FlickerProbe.Light;

/// <summary>No curve: L = V.</summary>
internal sealed record LinearCurve : TransferFunction
{
    public override string Name => "linear";

    public override double ToLinear(double level) => level;
}
