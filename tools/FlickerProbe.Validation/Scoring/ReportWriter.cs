using System.Text;
using FlickerProbe.Validation.Cases;
using static System.FormattableString;

namespace FlickerProbe.Validation.Scoring;

/// <summary>The report in Markdown: command, figures, spread, tables by property, worst cases, definitions.</summary>
internal static class ReportWriter
{
    public static string Write(string command, IReadOnlyList<CaseScore> scores, IReadOnlyList<FrequencySpread> spreads,
        IReadOnlyList<(EveningCase Evening, EveningResult Result)> evenings, IReadOnlyList<AskedResult> asked)
    {
        Figures all = Figures.Of(scores);
        StringBuilder t = new();
        t.AppendLine(Invariant($"<!-- remake: {command} -->"));
        t.AppendLine();
        t.AppendLine("# How well it measures");
        t.AppendLine();
        t.AppendLine(Invariant($"`{command}`"));
        t.AppendLine();
        t.AppendLine(Invariant($"{scores.Count} clips, seeds {scores.Min(s => s.Case.Seed)} to {scores.Max(s => s.Case.Seed)}, were rendered from lights that are known exactly, encoded by ffmpeg, and measured by `flickerprobe measure CLIP … --json -`. No clip of these seeds was used for tuning. Three clips in four hold no trap; light, rate, shutter, readout, codec and strength, bits, range, curve, noise, level, region and scene vary in all of them. `tools/validate --show SEED` makes one of them again and prints truth beside measurement."));
        t.AppendLine();
        t.AppendLine("## Figures");
        t.AppendLine();
        t.Append(FiguresText.Table(all));
        t.AppendLine();
        if (evenings.Count > 0)
            Section("Whole evenings", Invariant($"{evenings.Count} auditions, seeds {evenings.Min(e => e.Evening.Seed)} to {evenings.Max(e => e.Evening.Seed)}: one lamp each, shot in one to three takes with one camera, mostly at different frame rates and three in four with a short shutter, as the guide asks for; judged by `flickerprobe audition` for two shutters of the house thrown at random. The lamps, recordings and traps are those of the single clips, but for other light, fields and conformed rates. From take to take the mains differ by 0.01 Hz (one standard deviation), and in one lamp of four the driver's own clock by 0.01 to 0.5 %."), EveningFigures.Table(evenings));
        if (asked.Count > 0)
            Section("Evenings shot as the program asks", Invariant($"{asked.Count} lamps, seeds {asked.Min(a => a.Seed)} to {asked.Max(a => a.Seed)}: one take of ten seconds with a short shutter, little compression and no trap, then the take that `nextTake` names, until one format failed or all passed, nothing more is asked for, or {EveningRunner.MostTakes} takes are shot; mains and drivers wander as above. Counted are formats, with what stood of them after so many takes:"), EveningFigures.AskedTable(asked));
        t.AppendLine("## Frequency spread against the Cramér–Rao bound");
        t.AppendLine();
        t.AppendLine("One tone of 2 % in white noise, 100 frames at 25 per second, 48 rows; the signal-to-noise ratio is that of one frame's row mean, A²/2σ². Goal: at most 1.5 times the bound (Rife & Boorstyn, IEEE Trans. Inform. Theory 20(5), 1974).");
        t.AppendLine();
        t.AppendLine("| SNR | found | spread (r.m.s. error) | bound | ratio |");
        t.AppendLine("|---|---|---|---|---|");
        foreach (FrequencySpread s in spreads) t.AppendLine(FiguresText.Line(s));
        t.AppendLine();
        t.AppendLine("## The ten worst clips");
        t.AppendLine();
        int n = 0;
        foreach (CaseScore s in WorstCases.Of(scores).Take(10)) t.AppendLine(Invariant($"{++n}. **{s.Case.Seed}**: {WorstCases.Why(s)}. _{s.Case.Summary()}_"));
        t.AppendLine();
        t.AppendLine("## By property");
        t.AppendLine();
        t.AppendLine("wp: wrong passes of clips with 3 % or more; wf: wrong fails of clips with 0.4 % or less; found: tones found of those that had to be; f!: tones given one frequency that is wrong by more than its interval; then how many depth and amplitude intervals hold the truth; pass: harmless clips that got their pass.");
        foreach (string property in scores[0].Case.Properties.Keys)
        {
            t.AppendLine();
            t.AppendLine(Invariant($"| {property} | clips | wp | wf | found | f! | depth held | amplitude held | pass |"));
            t.AppendLine("|---|---|---|---|---|---|---|---|---|");
            foreach (IGrouping<string, CaseScore> group in scores.GroupBy(s => s.Case.Properties[property]).OrderBy(g => g.Key, StringComparer.Ordinal))
            {
                Figures f = Figures.Of([.. group]);
                t.AppendLine(Invariant($"| {group.Key} | {f.Cases} | {Of(f.WrongPasses)} | {Of(f.WrongFails)} | {Of(f.Found)} | {Of(f.WrongFrequencies)} | {Of(f.DepthHeld)} | {Of(f.AmplitudeHeld)} | {Of(f.HarmlessPassed)} |"));
            }
        }
        t.AppendLine();
        t.Append(Definitions);
        return t.ToString();

        void Section(string title, string text, string table) => t.AppendLine("## " + title).AppendLine().AppendLine(text).AppendLine().Append(table).AppendLine();
    }

    private static string Of(Tally tally) => tally.Of == 0 ? "–" : Invariant($"{tally.Hits}/{tally.Of}");

    private const string Definitions =
        """
        ## What is counted

        - **True on-camera depth**: (max − min)/(max + min) of the exact exposure average of all light on the surface over every moment at which the exposure can begin, all overtones, at the clip's own exposure time. Where other light was subtracted by `--reference`, of the lamp alone.
        - **Confident pass, fail**: the verdict for the clip's own frame rate and shutter under the built-in policy.
        - **Tones to be found**: every spectral line of the light whose amplitude on camera is at least 1 % and at least the take's own stated limit; readout stated and not zero; alias not slower than the take's own `slowestBeatHz` (those are counted on a line of their own). Frequencies are means over the clip, mains drift included. Found: some stated tone has the frequency within 0.02 %, alone or among its candidates.
        - **One confident frequency for the light**: `light.fundamentalHz` when it is not null. Wrong: its interval holds neither the rate of a driver nor a line at least 0.3 times as strong on camera as the strongest.
        - **The same for every tone**: every stated tone with one `frequencyHz`; wrong: the interval holds no line of at least 0.001 % on camera.
        - **Intervals, frequency and amplitude**: true lines above the stated limit that were matched to a stated tone within 0.02 % (so that a wrong candidate counts above, not here). **Depth**: every measured clip.
        - **Good recordings**: lossless, ProRes, H.264 or HEVC at CRF ≤ 18, or finest JPEG, without a fault of time, level or motion, and 1 % depth or more.
        - **Amplitude error**: tones to be found, lossless and ProRes clips.
        - **Missed**: lines at or above the stated limit (and 0.02 %), readout known or not, not too slow, for which no stated tone has the frequency or the alias (within half a bin of the clip).
        - **Forecasts**: with each clip whose shutter is known, another rate and shutter thrown at random is asked for by `--format`; the truth is the exact depth at that exposure time.
        """;
}
