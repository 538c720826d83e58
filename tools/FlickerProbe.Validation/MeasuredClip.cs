using FlickerProbe.Units;

namespace FlickerProbe.Validation;

/// <summary>What the program said of a clip, as far as it is scored.</summary>
public sealed record MeasuredClip
{
    /// <summary>pass, watch or fail; null when the clip was refused.</summary>
    public string? Verdict { get; init; }

    /// <summary>Why the clip was refused; null when it was measured.</summary>
    public string? Refusal { get; init; }

    /// <summary>Depth as recorded.</summary>
    public Estimate? Depth { get; init; }

    /// <summary>Smallest on-camera amplitude the take could have shown.</summary>
    public double DetectionLimit { get; init; }

    /// <summary>Slowest beat the take can show, hertz.</summary>
    public double SlowestBeatHz { get; init; }

    /// <summary>What bands locked to the frame rate might have; null when excluded.</summary>
    public double? LockedBound { get; init; }

    /// <summary>The light's fundamental when one value was stated.</summary>
    public Estimate? FundamentalHz { get; init; }

    /// <summary>Depth forecast for the other setting; null where none was asked for.</summary>
    public Estimate? Forecast { get; init; }

    /// <summary>The tones.</summary>
    public IReadOnlyList<MeasuredTone> Tones { get; init; } = [];

    /// <summary>Codes of warnings and reasons.</summary>
    public IReadOnlyList<string> Codes { get; init; } = [];

    /// <summary>Time the measuring took, seconds.</summary>
    public double Seconds { get; init; }
}

/// <summary>One tone as stated.</summary>
public sealed record MeasuredTone(double AliasHz, Estimate? FrequencyHz, IReadOnlyList<double> CandidatesHz, Estimate Amplitude);
