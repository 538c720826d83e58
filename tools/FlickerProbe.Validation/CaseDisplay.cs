using FlickerProbe.Rendering.Camera;
using FlickerProbe.Units;
using FlickerProbe.Validation.Cases;
using FlickerProbe.Validation.Scoring;
using static System.FormattableString;

namespace FlickerProbe.Validation;

/// <summary>One case in full on the terminal.</summary>
internal static class CaseDisplay
{
    public static void Show(int seed, string folder)
    {
        string keep = Path.Combine(folder, Invariant($"seed-{seed}"));
        Directory.CreateDirectory(keep);
        ValidationCase c = ValidationCase.FromSeed(seed);
        CaseResult result = CaseRunner.Run(c, keep);
        CaseScore score = CaseScore.Of(c, result);
        MeasuredClip m = result.Measured;
        Console.WriteLine(Invariant($"seed {seed}: {c.Summary()}"));
        Console.WriteLine(Invariant($"  {c.Recipe.Width}×{c.Recipe.Height}, {c.Recipe.Frames} frames, exposure {c.Recipe.ExposureSeconds * 1000:0.###} ms, readout {c.Recipe.ReadoutSeconds * 1000:0.###} ms (told {c.StatedReadoutSeconds * 1000:0.###}), noise {c.Recipe.Noise.CodesAtMid:0.##} codes, level {c.Recipe.Surfaces[0].SignalLevel:0.00}, {result.FileBytes / c.Recipe.Frames} bytes a frame"));
        string clip = Path.Combine(keep, Invariant($"seed-{seed}{c.Extension}"));
        Console.WriteLine("  flickerprobe " + string.Join(' ', ProgramCall.Arguments(
            c, clip, c.Reference is null ? null : Path.Combine(keep, Invariant($"seed-{seed}-off{c.Extension}")), c.WithCube ? Path.Combine(keep, Invariant($"seed-{seed}.cube")) : null)));
        if (m.Refusal is not null)
        {
            Console.WriteLine($"  refused: {m.Refusal}");
            return;
        }
        Console.WriteLine(Invariant($"  verdict {m.Verdict}{(score.WrongPass ? "  *** WRONG PASS" : score.WrongFail ? "  *** WRONG FAIL" : "")}   codes: {string.Join(' ', m.Codes)}"));
        Console.WriteLine(Invariant($"  depth   true {result.Truth.DepthOnCamera:P3} (met in the clip {result.DepthInClip:P3})   measured {Percent(m.Depth)}{(score.DepthHeld == false ? "  *** not held" : "")}"));
        Console.WriteLine(Invariant($"  limit {m.DetectionLimit:P3}   slowest beat {m.SlowestBeatHz:0.###} Hz   locked bound {m.LockedBound:P2}   fundamental {m.FundamentalHz?.Value:0.#####} (true {string.Join(", ", result.Truth.FundamentalsHz.Select(h => Invariant($"{h:0.#####}")))}){(score.FundamentalHeld == false ? "  *** not held" : "")}"));
        if (m.Forecast is not null)
            Console.WriteLine(Invariant($"  forecast for {c.OtherFormat.Rate} at {c.OtherFormat.Name}: {m.ForecastVerdict}, true {result.Truth.OtherDepth:P3}, stated {Percent(m.Forecast)}{(m.Forecast.Value.Holds(result.Truth.OtherDepth) ? "" : "  *** not held")}"));
        Console.WriteLine("  true tones:        Hz   on camera     alias   measured");
        foreach (ToneScore t in score.Tones.Take(25))
        {
            MeasuredTone? s = t.ByFrequency ?? t.ByAlias;
            Console.WriteLine(Invariant($"    {t.Truth.FrequencyHz,14:0.0000}  {t.Truth.OnCamera,9:P3} {t.Truth.AliasHz,9:0.000}   {(s is null ? t.TooSlow ? "too slow" : "*** missed" : Stated(s, t))}"));
        }
        Console.WriteLine("  tones stated:");
        foreach (MeasuredTone s in m.Tones.Take(25))
            Console.WriteLine(Invariant($"    alias {s.AliasHz,9:0.0000}  {(s.FrequencyHz is { } h ? Invariant($"{h.Value:0.0000} [{h.Low:0.0000}, {h.High:0.0000}] Hz") : Invariant($"{s.CandidatesHz.Count} candidates {string.Join(' ', s.CandidatesHz.Take(6).Select(x => Invariant($"{x:0.00}")))}"))}  amplitude {Percent(s.Amplitude)}"));
        Console.WriteLine();
    }

    public static void ShowEvening(int seed, string folder)
    {
        string keep = Path.Combine(folder, Invariant($"evening-{seed}"));
        Directory.CreateDirectory(keep);
        EveningCase evening = EveningCase.FromSeed(seed);
        Console.WriteLine(Invariant($"seed {seed}: {evening.Summary()}"));
        Tell(evening, EveningRunner.Run(evening, keep));
        Console.WriteLine("  flickerprobe audition " + Path.Combine(keep, Invariant($"seed-{seed}.yaml")));
    }

    public static void ShowAsked(int seed, string folder)
    {
        string keep = Path.Combine(folder, Invariant($"asked-{seed}"));
        Directory.CreateDirectory(keep);
        EveningCase first = EveningCase.FirstTake(seed);
        AskedResult asked = EveningRunner.RunAsAsked(first, keep);
        Console.WriteLine(Invariant($"seed {seed}: {asked.Shot}"));
        foreach (EveningResult result in asked.After) Tell(first, result);
        Console.WriteLine("  flickerprobe audition " + Path.Combine(keep, Invariant($"seed-{seed}.yaml")));
    }

    private static void Tell(EveningCase evening, EveningResult result)
    {
        if (result.Refusal is not null) Console.WriteLine($"  refused: {result.Refusal}");
        foreach (((FrameRate rate, _, string name), FormatOutcome f) in evening.Formats.Zip(result.Formats))
            Console.WriteLine(Invariant($"  {rate} at {name}: {f.Verdict}, true {f.TrueDepth:P3}, stated {Percent(f.Depth)}{(f.Depth?.Holds(f.TrueDepth) == false ? "  *** not held" : "")}   codes: {string.Join(' ', f.Codes)}"));
        if (result.NextTake is not null) Console.WriteLine($"  next: {result.NextTake}");
    }

    /// <summary>An evening in a line.</summary>
    public static string Line(EveningCase evening, EveningResult result) => Invariant(
        $"evening {evening.Seed} {result.Refusal}{string.Join(" | ", result.Formats.Select(f => Invariant($"{f.Verdict} true {f.TrueDepth:P3} stated {Percent(f.Depth)}{(f.Depth?.Holds(f.TrueDepth) == false ? " ***" : "")} {string.Join(' ', f.Codes)}")))} | {evening.Summary()}");

    /// <summary>What was said after each take of an evening that was shot as asked.</summary>
    public static string Steps(AskedResult a) => string.Join(" > ", a.After.Select(r => r.Refusal ?? string.Join(", ", r.Formats.Select(f => Invariant($"{f.Verdict} {f.TrueDepth:P2} [{f.Depth?.Low:P2}, {f.Depth?.High:P2}]")))))
        + (a.After[^1].IsSettled ? "" : a.After[^1].NextTake is null ? " (nothing more asked)" : "");

    /// <summary>An evening that was shot as asked, in a line.</summary>
    public static string Line(AskedResult a) => Invariant($"asked {a.Seed} {Steps(a)} {string.Join(' ', a.After[^1].Formats.SelectMany(f => f.Codes).Distinct())} | {a.Shot}");

    /// <summary>A case in a line.</summary>
    public static string Line(CaseScore s) => Invariant(
        $"{s.Case.Seed} {(s.Case.IsGoodRecording ? "good" : "-")} {s.Measured.Verdict ?? "refused"} true {s.Truth.DepthOnCamera:P3} stated {Percent(s.Measured.Depth)}{(s.DepthHeld == false ? " ***" : "")} width {s.DepthRelativeWidth:P0} limit {s.Measured.DetectionLimit:P3} locked {s.Measured.LockedBound:P1} missed {s.TonesAboveLimit.Count(t => t.ByAlias is null)} of {s.TonesAboveLimit.Count()} codes {string.Join(' ', s.Measured.Codes)} | {s.Case.Properties["light"]}, {s.Case.Properties["rate"]}, {s.Case.Properties["shutter"]}, {s.Case.Properties["readout"]}, {s.Case.Properties["codec"]}, {s.Case.Properties["scene"]}, {s.Case.Properties["trap"]}");

    private static string Stated(MeasuredTone s, ToneScore t) => Invariant(
        $"{(s.FrequencyHz is { } h ? Invariant($"{h.Value:0.0000} ± {(h.High - h.Low) / 2:0.0000}{(h.Holds(t.Truth.FrequencyHz) ? "" : " *** not held")}") : Invariant($"{s.CandidatesHz.Count} candidates{(t.ByFrequency is null ? ", none true" : "")}"))}  {Percent(s.Amplitude)}{(s.Amplitude.Holds(t.Truth.OnCamera) ? "" : " *** not held")}");

    private static string Percent(Estimate? e) => e is { } v ? Invariant($"{v.Value:P3} [{v.Low:P3}, {v.High:P3}]") : "none";
}
