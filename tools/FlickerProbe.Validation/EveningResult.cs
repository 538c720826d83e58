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

    /// <summary>Whether the fixture has its verdict: a format failed, or all passed.</summary>
    public bool IsSettled => Formats.Any(f => f.Verdict == "fail") || Formats.All(f => f.Verdict == "pass");
}

/// <summary>An evening shot as the program asked, take by take; one line of the results file.</summary>
public sealed record AskedResult : ISeeded
{
    public required int Seed { get; init; }

    /// <summary>Stands for the first take and for the programs; what follows comes of both.</summary>
    public required string Fingerprint { get; init; }

    /// <summary>What was said after each take.</summary>
    public required IReadOnlyList<EveningResult> After { get; init; }

    /// <summary>What was shot in the end.</summary>
    public required string Shot { get; init; }
}
