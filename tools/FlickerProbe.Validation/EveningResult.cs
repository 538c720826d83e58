using FlickerProbe.Units;

namespace FlickerProbe.Validation;

/// <summary>What an audition said of an evening's fixture at one format, beside the truth.</summary>
/// <param name="Verdict">pass, watch or fail; null when the audition was refused.</param>
/// <param name="Depth">Depth forecast for the format; null when refused.</param>
/// <param name="TrueDepth">Exact depth at the format's exposure.</param>
/// <param name="Codes">Codes of the reasons and of the takes' warnings.</param>
public sealed record FormatOutcome(string? Verdict, Estimate? Depth, double TrueDepth, IReadOnlyList<string> Codes);

/// <summary>An evening measured; one line of the results file.</summary>
public sealed record EveningResult : ISeeded
{
    public required int Seed { get; init; }
    public required string Fingerprint { get; init; }

    /// <summary>Why the audition was refused; null when it was measured.</summary>
    public string? Refusal { get; init; }

    public required IReadOnlyList<FormatOutcome> Formats { get; init; }

    /// <summary>The take that the program wants next; null when nothing is open.</summary>
    public string? NextTake { get; init; }
}
