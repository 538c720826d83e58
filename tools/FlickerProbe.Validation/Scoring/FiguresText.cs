using System.Text;
using static System.FormattableString;

namespace FlickerProbe.Validation.Scoring;

/// <summary>The figures as a table in Markdown.</summary>
internal static class FiguresText
{
    public static string Table(Figures f)
    {
        StringBuilder text = new();
        text.AppendLine("| figure | goal | result | counted |");
        text.AppendLine("|---|---|---|---|");
        Row("confident pass while the true on-camera depth is ≥ 3 %", "0", Invariant($"{f.WrongPasses.Hits}"), Invariant($"of {f.WrongPasses.Of} such clips"));
        Row("fail while it is ≤ 0.4 %", "0", Invariant($"{f.WrongFails.Hits}"), Invariant($"of {f.WrongFails.Of} such clips"));
        Row("tones ≥ 1 % on camera and above the stated limit, found within 0.02 % (readout known)", "≥ 98 %", Percent(f.Found), Count(f.Found, "tones"));
        Row("– of which as one frequency, not among candidates", "", Percent(f.FoundAsOneFrequency), Count(f.FoundAsOneFrequency, "tones"));
        Row("– tones left out because their beat is slower than the take says it can show", "", Invariant($"{f.TooSlow}"), "tones");
        Row("one confident frequency for the light, wrong by more than its interval", "≤ 2 %", Percent(f.WrongFundamentals), Count(f.WrongFundamentals, "clips with one"));
        Row("– the same for every tone with one frequency", "", Percent(f.WrongFrequencies), Count(f.WrongFrequencies, "tones"));
        Row("– of which more than 0.1 % from any tone there is", "", Percent(f.GrossFrequencies), Count(f.GrossFrequencies, "tones"));
        Row("95 % intervals that hold the truth: frequency", "≥ 93 %", Percent(f.FrequencyHeld), Count(f.FrequencyHeld, "tones"));
        Row("95 % intervals that hold the truth: amplitude", "≥ 93 %", Percent(f.AmplitudeHeld), Count(f.AmplitudeHeld, "tones"));
        Row("95 % intervals that hold the truth: depth", "≥ 93 %", Percent(f.DepthHeld), Count(f.DepthHeld, "clips"));
        Row("median relative width of depth, good recordings", "≤ 15 %", Percent(f.DepthWidth), Invariant($"{f.DepthWidthOf} clips"));
        Row("amplitude error, median, lossless or ProRes", "≤ 1 %", Percent(f.AmplitudeError), Invariant($"{f.AmplitudeErrorOf} tones"));
        Row("amplitudes above the stated limit that were missed", "≤ 2 %", Percent(f.Missed), Count(f.Missed, "tones"));
        if (f.ForecastHeld.Of > 0)
        {
            Row("forecasts for another setting: 95 % interval that holds the truth", "≥ 93 %", Percent(f.ForecastHeld), Count(f.ForecastHeld, "pairs"));
            Row("– wrong passes: pass for it while its true depth is ≥ 3 %", "0", Invariant($"{f.ForecastWrongPasses.Hits}"), Invariant($"of {f.ForecastWrongPasses.Of} such pairs"));
            Row("– median error of depth", "≤ 10 % of it or 0.2 points", Invariant($"{Percent(f.ForecastErrorShare)} of it where that is ≥ 2 %; {100 * f.ForecastError:0.00} points over all"), Invariant($"{f.ForecastHeld.Of} pairs"));
            Row("– error within 10 % of it or 0.2 points", "half of them", Percent(f.ForecastNear), Count(f.ForecastNear, "pairs"));
        }
        Row("harmless light (≤ 0.4 %) that got its pass", "", Percent(f.HarmlessPassed), Count(f.HarmlessPassed, "clips"));
        Row("plain flicker (≥ 5 %) that was failed", "", Percent(f.VisibleFailed), Count(f.VisibleFailed, "clips"));
        Row("steady light without a single stated tone", "", Percent(f.PhantomFree), Count(f.PhantomFree, "clips"));
        Row("refused clips", "", Invariant($"{f.Refused}"), Invariant($"of {f.Cases}"));
        return text.ToString();

        void Row(string figure, string goal, string result, string counted) => text.AppendLine(Invariant($"| {figure} | {goal} | {result} | {counted} |"));
    }

    public static string Line(FrequencySpread s) =>
        Invariant($"| {s.SignalToNoiseDecibels:0} dB | {s.Found} of {s.Trials} | {s.RmsHz * 1000:0.####} mHz | {s.BoundHz * 1000:0.####} mHz | {s.Ratio:0.00} |");

    public static string Percent(Tally tally) => Percent(tally.Share);
    public static string Percent(double? share) => share is { } s ? Invariant($"{100 * s:0.0} %") : "–";
    private static string Count(Tally tally, string what) => Invariant($"{tally.Hits} of {tally.Of} {what}");
}
