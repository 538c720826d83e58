using System.Text.Json;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation;

/// <summary>A case, its truth, and what was measured; one line of the results file.</summary>
public sealed record CaseResult
{
    public required int Seed { get; init; }

    /// <summary>Stands for the recipe and for the programs that measured it; a result is used again only for the same.</summary>
    public required string Fingerprint { get; init; }

    public required CaseTruth Truth { get; init; }
    public required MeasuredClip Measured { get; init; }

    /// <summary>Depth met by the rows and frames of this very clip; smaller than on camera where bands are locked.</summary>
    public double DepthInClip { get; init; }

    /// <summary>Coded bytes of the clip.</summary>
    public long FileBytes { get; init; }

    private static readonly JsonSerializerOptions Options = new() { NumberHandling = System.Text.Json.Serialization.JsonNumberHandling.AllowNamedFloatingPointLiterals };

    public string ToLine() => JsonSerializer.Serialize(this, Options);

    public static CaseResult? FromLine(string line)
    {
        try
        {
            return JsonSerializer.Deserialize<CaseResult>(line, Options);
        }
        catch (JsonException)
        {
            // A run that was interrupted may have left half a line: that case is simply measured again.
            return null;
        }
    }
}
