using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation;

/// <summary>A case, its truth, and what was measured; one line of the results file.</summary>
public sealed record CaseResult : ISeeded
{
    public required int Seed { get; init; }
    public required string Fingerprint { get; init; }
    public required CaseTruth Truth { get; init; }
    public required MeasuredClip Measured { get; init; }

    /// <summary>Depth met by the rows and frames of this very clip; smaller than on camera where bands are locked.</summary>
    public double DepthInClip { get; init; }

    /// <summary>Coded bytes of the clip.</summary>
    public long FileBytes { get; init; }
}
