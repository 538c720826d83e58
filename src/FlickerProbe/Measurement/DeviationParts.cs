using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>A standard deviation and the independent causes it comes from; their squares add.</summary>
/// <param name="Parts">Causes and what each contributes alone, one standard deviation in one common unit.</param>
internal sealed record DeviationParts(IReadOnlyList<(string Cause, double Deviation)> Parts)
{
    /// <summary>All causes together.</summary>
    public double Total => Sqrt(Parts.Sum(p => p.Deviation * p.Deviation));

    /// <summary>Of several causes.</summary>
    public static DeviationParts Of(params (string Cause, double Deviation)[] parts) => new(parts);

    /// <summary>With one more cause.</summary>
    public DeviationParts And(string cause, double deviation) => new([.. Parts, (cause, deviation)]);

    /// <summary>In another unit: all multiplied by a positive factor.</summary>
    public DeviationParts Scale(double positiveFactor) => new([.. Parts.Select(p => (p.Cause, p.Deviation * positiveFactor))]);

    /// <summary>The parts as half-widths of 95 % intervals.</summary>
    public IReadOnlyList<UncertaintyPart> HalfWidths => UncertaintyPart.List([.. Parts.Select(p => (p.Cause, Estimate.Coverage95 * p.Deviation))]);
}
