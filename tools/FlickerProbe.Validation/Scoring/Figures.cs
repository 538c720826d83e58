namespace FlickerProbe.Validation.Scoring;

/// <summary>A share with what it was counted from.</summary>
public sealed record Tally(int Hits, int Of)
{
    /// <summary>The share; null when nothing was counted.</summary>
    public double? Share => Of == 0 ? null : (double)Hits / Of;

    /// <summary>Counts.</summary>
    public static Tally Count<T>(IEnumerable<T> all, Func<T, bool> hit)
    {
        List<T> list = [.. all];
        return new Tally(list.Count(hit), list.Count);
    }
}

/// <summary>The figures of a set of scored cases.</summary>
public sealed record Figures
{
    public required int Cases { get; init; }
    public required int Refused { get; init; }
    public required Tally WrongPasses { get; init; }
    public required Tally WrongFails { get; init; }
    public required Tally Found { get; init; }
    public required Tally FoundAsOneFrequency { get; init; }
    public required int TooSlow { get; init; }
    public required Tally WrongFrequencies { get; init; }
    public required Tally GrossFrequencies { get; init; }
    public required Tally WrongFundamentals { get; init; }
    public required Tally FrequencyHeld { get; init; }
    public required Tally AmplitudeHeld { get; init; }
    public required Tally DepthHeld { get; init; }
    public required double? DepthWidth { get; init; }
    public required int DepthWidthOf { get; init; }
    public required double? AmplitudeError { get; init; }
    public required int AmplitudeErrorOf { get; init; }
    public required Tally Missed { get; init; }
    public required Tally HarmlessPassed { get; init; }
    public required Tally VisibleFailed { get; init; }
    public required Tally PhantomFree { get; init; }
    public required Tally ForecastHeld { get; init; }
    public required Tally ForecastWrongPasses { get; init; }
    public required Tally ForecastNear { get; init; }
    public required double? ForecastError { get; init; }
    public required double? ForecastErrorShare { get; init; }

    /// <summary>Counts the figures.</summary>
    public static Figures Of(IReadOnlyCollection<CaseScore> scores)
    {
        List<CaseScore> measured = [.. scores.Where(s => s.Measured.Refusal is null)];
        List<ToneScore> toFind = [.. measured.SelectMany(s => s.TonesToFind)];
        List<ToneScore> above = [.. measured.SelectMany(s => s.TonesAboveLimit)];
        List<(MeasuredTone Tone, bool Held, bool Gross)> confident = [.. measured.SelectMany(s => s.ConfidentFrequencies())];
        List<ToneScore> matched = [.. measured.SelectMany(s => s.Tones.Where(t => t.Truth.OnCamera >= s.Measured.DetectionLimit)).Where(t => t.ByFrequency is not null)];
        List<double> widths = [.. measured.Where(s => s.Case.IsGoodRecording && s.Truth.DepthOnCamera >= 0.01).Select(s => s.DepthRelativeWidth).OfType<double>()];
        List<double> errors = [.. measured.Where(s => s.Case.IsLosslessClass).SelectMany(s => s.TonesToFind).Where(t => t.ByFrequency is not null)
            .Select(t => Math.Abs(t.ByFrequency!.Amplitude.Value - t.Truth.OnCamera) / t.Truth.OnCamera)];
        List<CaseScore> forecasts = [.. measured.Where(s => s.Measured.Forecast is not null)];
        return new Figures
        {
            Cases = scores.Count,
            Refused = scores.Count - measured.Count,
            WrongPasses = Tally.Count(measured.Where(s => s.Truth.DepthOnCamera >= CaseScore.VisibleDepth), s => s.WrongPass),
            WrongFails = Tally.Count(measured.Where(s => s.Harmless), s => s.WrongFail),
            Found = Tally.Count(toFind, t => t.ByFrequency is not null),
            FoundAsOneFrequency = Tally.Count(toFind, t => t.ByFrequency?.FrequencyHz is not null),
            TooSlow = measured.Where(s => s.Case.StatedReadoutSeconds is not null).Sum(s => s.Tones.Count(t => t.TooSlow && t.Truth.OnCamera >= 0.01)),
            WrongFrequencies = Tally.Count(confident, f => !f.Held),
            GrossFrequencies = Tally.Count(confident, f => f.Gross),
            WrongFundamentals = Tally.Count(measured.Select(s => s.FundamentalHeld).OfType<bool>(), held => !held),
            FrequencyHeld = Tally.Count(matched.Where(t => t.ByFrequency!.FrequencyHz is not null), t => t.ByFrequency!.FrequencyHz!.Value.Holds(t.Truth.FrequencyHz)),
            AmplitudeHeld = Tally.Count(matched, t => t.ByFrequency!.Amplitude.Holds(t.Truth.OnCamera)),
            DepthHeld = Tally.Count(measured.Select(s => s.DepthHeld).OfType<bool>(), held => held),
            DepthWidth = Median(widths),
            DepthWidthOf = widths.Count,
            AmplitudeError = Median(errors),
            AmplitudeErrorOf = errors.Count,
            Missed = Tally.Count(above, t => t.ByAlias is null),
            HarmlessPassed = Tally.Count(measured.Where(s => s.Harmless), s => s.Measured.Verdict == "pass"),
            VisibleFailed = Tally.Count(measured.Where(s => s.Truth.DepthOnCamera >= CaseScore.PlainDepth), s => s.Measured.Verdict == "fail"),
            PhantomFree = Tally.Count(measured.Where(s => s.Truth.LampDepthOnCamera < 1e-5), s => s.Measured.Tones.Count == 0),
            ForecastHeld = Tally.Count(forecasts, s => s.Measured.Forecast!.Value.Holds(s.Truth.OtherDepth)),
            ForecastWrongPasses = Tally.Count(forecasts.Where(s => s.Truth.OtherDepth >= CaseScore.VisibleDepth), s => s.Measured.ForecastVerdict == "pass"),
            ForecastNear = Tally.Count(forecasts, s => s.ForecastError <= Math.Max(0.1 * s.Truth.OtherDepth, 0.002)),
            ForecastError = Median([.. forecasts.Select(s => s.ForecastError)]),
            ForecastErrorShare = Median([.. forecasts.Where(s => s.Truth.OtherDepth >= 0.02).Select(s => s.ForecastError / s.Truth.OtherDepth)]),
        };
    }

    /// <summary>Middle value; null of nothing.</summary>
    public static double? Median(IReadOnlyCollection<double> values)
    {
        if (values.Count == 0) return null;
        double[] sorted = [.. values.Order()];
        return (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
    }
}
