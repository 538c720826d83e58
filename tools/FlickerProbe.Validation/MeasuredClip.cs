using FlickerProbe.Files.Results;
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

    /// <summary>Verdict for the other setting; null where none was asked for.</summary>
    public string? ForecastVerdict { get; init; }

    /// <summary>The tones.</summary>
    public IReadOnlyList<MeasuredTone> Tones { get; init; } = [];

    /// <summary>Codes of warnings and reasons.</summary>
    public IReadOnlyList<string> Codes { get; init; } = [];

    /// <summary>Time the measuring took, seconds.</summary>
    public double Seconds { get; init; }

    /// <summary>What is scored of a result document of one clip and one region: the verdict for the clip's own format, which is the first asked for.</summary>
    public static MeasuredClip Of(ResultDocument document, double seconds)
    {
        LevelResult level = document.Fixtures[0].Levels[0];
        TakeResult take = level.Takes[0];
        return new MeasuredClip
        {
            Verdict = level.Formats.Count > 0 ? level.Formats[0].Verdict : level.Verdict,
            Depth = take.ModulationDepth,
            DetectionLimit = take.DetectionLimit,
            SlowestBeatHz = take.SlowestBeatHz ?? 0,
            LockedBound = take.LockedBound,
            FundamentalHz = level.Light.FundamentalHz,
            Forecast = level.Formats.Count > 1 ? level.Formats[1].ModulationDepth : null,
            ForecastVerdict = level.Formats.Count > 1 ? level.Formats[1].Verdict : null,
            Tones = [.. take.Tones.Select(t => new MeasuredTone(t.AliasHz ?? 0, t.FrequencyHz, t.CandidatesHz, t.Amplitude))],
            Codes = [.. take.Warnings.Concat(level.Formats.Take(1).SelectMany(f => f.Reasons)).Select(w => w.Code).Distinct()],
            Seconds = seconds,
        };
    }
}

/// <summary>One tone as stated.</summary>
public sealed record MeasuredTone(double AliasHz, Estimate? FrequencyHz, IReadOnlyList<double> CandidatesHz, Estimate Amplitude);
