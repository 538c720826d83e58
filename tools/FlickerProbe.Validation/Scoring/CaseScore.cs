using FlickerProbe.Units;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation.Scoring;

/// <summary>A true tone beside what was said of it.</summary>
/// <param name="Truth">The tone.</param>
/// <param name="ByFrequency">The measured tone whose stated frequency, or one of whose candidates, is within 0.02 % of it; else null.</param>
/// <param name="ByAlias">The measured tone at its alias, whatever frequency it was given; else null.</param>
/// <param name="TooSlow">Its alias is slower than the slowest beat the take says it can show.</param>
public sealed record ToneScore(TrueTone Truth, MeasuredTone? ByFrequency, MeasuredTone? ByAlias, bool TooSlow);

/// <summary>One case scored: each figure's own small facts.</summary>
public sealed record CaseScore
{
    /// <summary>A frequency counts as found within this share of it.</summary>
    public const double FoundWithin = 0.0002;

    /// <summary>Depth on camera from which a pass is wrong, up to which a fail is, and from which nobody would call it anything else.</summary>
    public const double VisibleDepth = 0.03, HarmlessDepth = 0.004, PlainDepth = 0.05;

    public required ValidationCase Case { get; init; }
    public required CaseResult Result { get; init; }
    public required IReadOnlyList<ToneScore> Tones { get; init; }

    public CaseTruth Truth => Result.Truth;
    public MeasuredClip Measured => Result.Measured;
    public bool WrongPass => Measured.Verdict == "pass" && Truth.DepthOnCamera >= VisibleDepth;
    public bool WrongFail => Measured.Verdict == "fail" && Truth.DepthOnCamera <= HarmlessDepth;
    public bool Harmless => Truth.DepthOnCamera <= HarmlessDepth;

    /// <summary>Whether the depth interval holds the truth; null where none was stated.</summary>
    public bool? DepthHeld => Measured.Depth is { } d ? d.Holds(Truth.DepthOnCamera) : null;

    /// <summary>Width of the depth interval over the true depth.</summary>
    public double? DepthRelativeWidth => Measured.Depth is { } d && Truth.DepthOnCamera > 0 ? (d.High - d.Low) / Truth.DepthOnCamera : null;

    /// <summary>Distance of the forecast from the truth, of depth; NaN without a forecast.</summary>
    public double ForecastError => Measured.Forecast is { } f ? Math.Abs(f.Value - Truth.OtherDepth) : double.NaN;

    /// <summary>Tones that had to be found: 1 % or more and above the limit, readout known, not too slow.</summary>
    public IEnumerable<ToneScore> TonesToFind => Case.StatedReadoutSeconds is null or 0 ? [] : Tones.Where(t => t.Truth.OnCamera >= 0.01 && t.Truth.OnCamera >= Measured.DetectionLimit && !t.TooSlow);

    /// <summary>Tones above the stated limit, readout known or not, not too slow.</summary>
    public IEnumerable<ToneScore> TonesAboveLimit => Tones.Where(t => t.Truth.OnCamera >= Measured.DetectionLimit && !t.TooSlow);

    /// <summary>Confident frequencies: measured tones with one frequency, and whether a true tone lies in the interval.</summary>
    public IEnumerable<(MeasuredTone Tone, bool Held, bool Gross)> ConfidentFrequencies()
    {
        foreach (MeasuredTone tone in Measured.Tones)
        {
            if (tone.FrequencyHz is not { } f) continue;
            bool held = Truth.Tones.Any(t => f.Holds(t.FrequencyHz));
            // Far from every true tone: another candidate was taken for the truth, or nothing was there at all.
            double nearest = Truth.Tones.Count == 0 ? double.PositiveInfinity : Truth.Tones.Min(t => Math.Abs(t.FrequencyHz - f.Value) / t.FrequencyHz);
            yield return (tone, held, nearest > 0.001);
        }
    }

    /// <summary>The one frequency stated for the light: null where none was, else whether its interval holds the rate of a driver.</summary>
    public bool? FundamentalHeld => Measured.FundamentalHz is not { } f ? null
        : Truth.FundamentalsHz.Any(f.Holds) || Truth.Tones.Any(t => t.OnCamera > 0.3 * (Truth.Tones[0].OnCamera) && f.Holds(t.FrequencyHz));

    /// <summary>Scores a result.</summary>
    public static CaseScore Of(ValidationCase c, CaseResult result)
    {
        double tickHz = CaseTruth.TickHz(c.Recipe);
        // A beat counts as the same within half a bin of the clip.
        double aliasWithin = 0.5 * c.Recipe.FrameRate.FramesPerSecond / c.Recipe.Frames;
        MeasuredClip m = result.Measured;
        return new CaseScore
        {
            Case = c,
            Result = result,
            Tones = m.Refusal is not null ? [] :
            [
                .. result.Truth.Tones.Where(t => t.OnCamera >= Math.Max(2e-4, Math.Min(0.01, m.DetectionLimit))).Select(t => new ToneScore(
                    t,
                    Nearest(m.Tones.Where(s => Matches(s, t.FrequencyHz)), t),
                    Nearest(m.Tones.Where(s => Matches(s, t.FrequencyHz) || Math.Abs(CaseTruth.Alias(Math.Abs(s.AliasHz) - Math.Abs(t.AliasHz), tickHz)) < aliasWithin), t),
                    Math.Abs(t.AliasHz) < m.SlowestBeatHz)),
            ],
        };
    }

    private static bool Matches(MeasuredTone tone, double hertz) => tone.FrequencyHz is { } f
        ? Near(f.Value, hertz)
        : tone.CandidatesHz.Any(h => Near(h, hertz));

    private static bool Near(double measured, double truth) => Math.Abs(measured - truth) <= FoundWithin * truth;

    /// <summary>Of several that fit, the one of the most similar amplitude.</summary>
    private static MeasuredTone? Nearest(IEnumerable<MeasuredTone> tones, TrueTone t) => tones.MinBy(s => Math.Abs(s.Amplitude.Value - t.OnCamera));
}
