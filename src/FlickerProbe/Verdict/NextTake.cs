using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Verdict;

/// <summary>The one more take that would settle most.</summary>
/// <param name="Rate">Frame rate to set.</param>
/// <param name="Exposure">Shutter to set.</param>
/// <param name="Sentence">What to do, in one sentence a volunteer can follow.</param>
/// <param name="Why">What it would settle, in one sentence.</param>
public sealed record NextTake(FrameRate Rate, ExposureTime Exposure, string Sentence, string Why)
{
    /// <summary>Shortest take worth shooting, seconds.</summary>
    public const double ShortestSeconds = 10;

    /// <summary>How every take is shot.</summary>
    private static readonly string Care = string.Create(CultureInfo.InvariantCulture, $"at least {ShortestSeconds:0} seconds, camera on a stand, nothing moving");

    /// <summary>Rates worth trying beside those that the house or the takes have.</summary>
    private static readonly FrameRate[] UsualRates = [FrameRate.FromRational(25, 1), FrameRate.FromRational(30000, 1001), FrameRate.FromRational(50, 1), FrameRate.FromRational(60000, 1001)];

    /// <summary>Aliases closer than this can't be told apart in such a take, hertz.</summary>
    private const double TellApartHz = 0.2;

    /// <summary>Suggests the next take; null when nothing is open that a take could settle.</summary>
    /// <param name="light">What is known so far.</param>
    /// <param name="takes">The takes there are.</param>
    /// <param name="formats">Formats the verdict is for.</param>
    /// <param name="policy">The lines.</param>
    /// <remarks>Tried are the rates and shutters of the house formats and of the takes, and the standard ones. Each is scored by what a good take with it would
    /// settle, were nothing more in the light: a format whose bound would come under the pass line counts 3, a lowered bound its share of that; frequency candidates told
    /// apart count up to 3. Shooting costs: another rate than in the takes 0.3, a shutter none of the house formats uses 0.2, each take at the same setting that was spoilt
    /// before 0.5. The scores are the project's own choice.
    /// Where no take is sound and a slow drift may be the light's own beat, a rate that tells the two apart comes first.
    /// Where no other setting would settle more, a take that its own recording spoilt is worth shooting again.</remarks>
    public static NextTake? Suggest(LightEstimate light, IReadOnlyList<TakeMeasurement> takes, IReadOnlyList<CameraFormat> formats, Policy policy)
    {
        TakeMeasurement[] sound = [.. takes.Where(t => t.IsSound)];
        TakeMeasurement[] blank = [.. (sound.Length > 0 ? sound : takes).Where(t => t.Take.Exposure is not null).Select(ExpectedTake.Blank)];
        if (blank.Length == 0) return First([.. takes.Select(t => t.Take)], formats);

        if (sound.Length == 0 && AtRateThatTellsDrift(takes) is { } faster) return faster;

        (CameraFormat Format, Room Room)[] known = Rooms(light, takes, formats, policy);
        Gap[] open = Gaps(blank, known, policy);
        double[] candidates = Candidates(light);
        if (candidates.Length < 2 && !Array.Exists(open, g => g.IsOpen)) return Again(takes, open, policy);

        (double Score, double Worth, TakeMeasurement[] With, Gap[] After)? best = null;
        foreach (CameraFormat option in Options(blank, formats))
        {
            TakeMeasurement[] with = [.. blank, ExpectedTake.At(option, ShortestSeconds, blank)];
            Gap[] after = Gaps(with, known, policy);
            double worth = open.Zip(after, (o, a) => Gain(o.Ratio, a.Ratio)).Sum() + 3 * ToldApart(candidates, option);
            double score = worth
                - (Array.Exists(blank, t => t.Take.Rate == option.Rate) ? 0 : 0.3)
                - (known.Any(f => f.Format.Exposure!.IsSameSetting(option.Exposure!)) ? 0 : 0.2)
                - 0.5 * takes.Count(t => IsSpoilt(t, option));
            if (best is null || score > best.Value.Score + 1e-9) best = (score, worth, with, after);
        }
        // What shooting costs decides between takes, not whether an open question is worth one.
        if (best is not { Worth: > 0 } found) return Again(takes, open, policy);
        CameraFormat take = found.With[^1].Take;
        string why = Purpose(take, blank, found.With, open, found.After, candidates);
        return takes.Any(t => IsSpoilt(t, take)) ? TellAgain(take.Rate, take.Exposure!, why) : Tell(take.Rate, take.Exposure!, why);
    }

    /// <summary>How far a question is from settled.</summary>
    /// <param name="Format">The format it is about; null: whether a lamp on half waves of the mains stands still in the takes.</param>
    /// <param name="Ratio">What may be there unseen over what may without a pass being lost.</param>
    private readonly record struct Gap(CameraFormat? Format, double Ratio)
    {
        public bool IsOpen => Ratio >= 1;
    }

    /// <summary>What may stay unseen at a format without its pass being lost: what the light that was found leaves of the pass lines.</summary>
    private readonly record struct Room(double Depth, double Pulsing);

    /// <summary>How little room is worth another take, share of the pass line: a light found nearer to the line stays about it, whatever is shot.</summary>
    private const double LeastRoom = 0.25;

    private static (CameraFormat Format, Room Room)[] Rooms(LightEstimate light, IReadOnlyList<TakeMeasurement> takes, IReadOnlyList<CameraFormat> formats, Policy policy)
    {
        Forecaster found = new(light);
        // Light that is about the line or over it by itself leaves the question what else there is as it was.
        static double Left(double line, double found) => line - found < LeastRoom * line ? line : line - found;
        return
        [
            .. formats.Where(f => f.Exposure is not null).Select(format =>
            {
                FormatForecast forecast = DirectMeasurement.Apply(found.At(format), takes);
                return (format, new Room(Left(policy.Depth.Pass, forecast.ModulationDepth.Value), Left(policy.Pulsing.Pass, forecast.PulsingDepth.Value)));
            }),
        ];
    }

    /// <summary>What takes that showed nothing leave open, by the very rules of the verdict.</summary>
    private static Gap[] Gaps(TakeMeasurement[] takes, (CameraFormat Format, Room Room)[] formats, Policy policy)
    {
        Forecaster nothing = new(new LightEstimate(null, [], null, null, [], [.. takes.Select(t => t.Blind)]));
        return
        [
            .. formats.Select(f =>
            {
                FormatForecast forecast = DirectMeasurement.Apply(nothing.At(f.Format), takes);
                return new Gap(f.Format, Max(forecast.ModulationDepth.High / f.Room.Depth, forecast.PulsingDepth.High / f.Room.Pulsing));
            }),
            new Gap(null, HalfWaveLight.Doubts(takes).Any() ? 1 / policy.Depth.Pass : 0),
        ];
    }

    private static NextTake? First(IReadOnlyList<CameraFormat> shot, IReadOnlyList<CameraFormat> formats)
    {
        CameraFormat? wanted = formats.Concat(shot).FirstOrDefault(f => f.Exposure is not null && !f.Rate.IsStandIn);
        return wanted is null ? null : Tell(wanted.Rate, wanted.Exposure!,
            "so far no take has a known shutter, so nothing can be said of any other setting");
    }

    /// <summary>A take that is there already, shot better: one that earns no pass as it was recorded, or that could not have shown what is asked of its own setting.</summary>
    private static NextTake? Again(IReadOnlyList<TakeMeasurement> takes, Gap[] open, Policy policy)
    {
        bool HidesTooMuch(TakeMeasurement take) => Array.Exists(open, g => g is { IsOpen: true, Format: { } format } && DirectMeasurement.IsSame(take.Take, format));
        // Flicker that is sure to be over the pass line stays so in any take.
        TakeMeasurement[] known = [.. takes.Where(t => t.Take is { Exposure: not null, Rate.IsStandIn: false } && !(t.ModulationDepth?.Low >= policy.Depth.Pass))];
        return (known.FirstOrDefault(t => !t.IsSound) ?? known.FirstOrDefault(HidesTooMuch)) is not { } take
            ? null
            : TellAgain(take.Take.Rate, take.Take.Exposure!,
                take.IsSound ? $"as it was recorded, flicker of up to {Percent.Of(take.Blind.DetectionLimit)} could have gone unseen in it" : "as it was recorded it can't earn a pass, whatever the light does");
    }

    /// <summary>Where a slow change may be drift or a lamp's slow beat, which no take of the same rate tells apart: a take at a rate at which the mains lamp that would
    /// beat so slowly beats faster; null elsewhere.</summary>
    private static NextTake? AtRateThatTellsDrift(IReadOnlyList<TakeMeasurement> takes)
    {
        bool IsSlow(double hertz, FrameRate rate) => Abs(AliasFrequency.Of(hertz, rate)) < FrequencyCandidates.SlowestRollingHz;
        if (takes.FirstOrDefault(t => t is { Take: { Exposure: not null, Rate.IsStandIn: false }, SlowestBeatHz: >= FrequencyCandidates.SlowestRollingHz }
            && t.Findings.Any(f => f is { Code: FindingCodes.LevelDrift, ForbidsPass: true })) is not { } drifting) return null;
        FrameRate? faster = Array.Find(UsualRates, rate => drifting.Take.Exposure!.Seconds <= rate.PeriodSeconds && takes.All(t => t.Take.Rate != rate)
            && MainsCycle.RippleHz.All(hertz => !IsSlow(hertz, drifting.Take.Rate) || !IsSlow(hertz, rate)));
        return faster is null ? null : Tell(faster, drifting.Take.Exposure!,
            $"what wandered slowly at {drifting.Take.Rate.ToShortText()} frames per second may be the light's own beat: at another frame rate that is faster");
    }

    /// <summary>What it is worth that a question's ratio falls: a settled one most.</summary>
    internal static double Gain(double before, double after)
    {
        if (before >= 1 && after < 1) return 3;
        return before <= after ? 0 : Min(1, Log(before / Max(after, 1e-4)) / Log(100));
    }

    private static double[] Candidates(LightEstimate light) => light.Components.FirstOrDefault(c => c.State == ComponentState.Ambiguous && c.CandidatesHz.Count > 1) is { } open
        ? [.. open.CandidatesHz]
        : [];

    /// <summary>Share of the candidate pairs that a take would tell apart: visible through its shutter and with different aliases.</summary>
    internal static double ToldApart(double[] candidates, CameraFormat option)
    {
        int pairs = 0, apart = 0;
        for (int i = 0; i < candidates.Length; i++)
        {
            for (int j = i + 1; j < candidates.Length; j++, pairs++)
            {
                bool seen = Max(Abs(ExposureGain.At(candidates[i], option.Exposure!.Seconds)), Abs(ExposureGain.At(candidates[j], option.Exposure.Seconds))) > 0.05;
                double aliases = Abs(Abs(AliasFrequency.Of(candidates[i], option.Rate)) - Abs(AliasFrequency.Of(candidates[j], option.Rate)));
                if (seen && aliases > TellApartHz) apart++;
            }
        }
        return pairs == 0 ? 0 : (double)apart / pairs;
    }

    /// <summary>Settings worth trying that no sound take has yet.</summary>
    private static IEnumerable<CameraFormat> Options(TakeMeasurement[] takes, IReadOnlyList<CameraFormat> formats)
    {
        FrameRate[] rates = [.. formats.Select(f => f.Rate).Concat(takes.Select(t => t.Take.Rate)).Concat(UsualRates).Where(r => !r.IsStandIn).Distinct()];
        ExposureTime[] shutters =
        [
            .. formats.Where(f => f.Exposure is not null).Select(f => f.Exposure!)
                .Concat(takes.Select(t => t.Take.Exposure!))
                .Concat(new[] { 50, 60, 100, 120, 180, 200, 250, 320, 500, 1000, 2000 }.Select(r => ExposureTime.FromSeconds(1.0 / r)))
                .DistinctBy(e => Round(Log(e.Seconds) / 0.002)),
        ];
        return rates.SelectMany(rate => shutters.Where(s => s.Seconds <= rate.PeriodSeconds * 1.002).Select(s => new CameraFormat(rate, s, null)))
            .Where(o => !Array.Exists(takes, t => Retakes.IsSameSetting(t.Take, o)));
    }

    /// <summary>What the take would bring, in words.</summary>
    private static string Purpose(CameraFormat take, TakeMeasurement[] takes, TakeMeasurement[] more, Gap[] before, Gap[] after, double[] candidates)
    {
        List<string> whys = [];
        if (candidates.Length > 1 && ToldApart(candidates, take) > 0)
            whys.Add("it tells apart the frequencies that still fit (" + string.Join(", ", candidates.Take(4).Select(c => c.ToString("0.#", CultureInfo.InvariantCulture))) + " Hz)");
        string[] settled = [.. before.Zip(after).Where(p => p.First is { IsOpen: true, Format: not null } && !p.Second.IsOpen && !Array.Exists(takes, t => DirectMeasurement.IsSame(t.Take, p.First.Format!)))
            .Select(p => p.First.Format!.ToShortText()).Distinct()];
        if (settled.Length > 0) whys.Add("it shows what the shutters so far could have hidden from " + string.Join(" and ", settled.Take(3)) + (settled.Length > 3 ? " and others" : ""));
        if (Array.Exists(takes, t => !StandingLight.IsSettled(t, takes) && StandingLight.IsSettled(t, more))) whys.Add("bands that stood still so far would move at this frame rate");
        if (whys.Count == 0) whys.Add("it narrows down what the takes so far could have hidden");
        return string.Join(", and ", whys);
    }

    /// <summary>Whether a take has this setting and a doubt that keeps it from counting.</summary>
    private static bool IsSpoilt(TakeMeasurement take, CameraFormat setting) => !take.IsSound && Retakes.IsSameSetting(take.Take, setting);

    private static NextTake Tell(FrameRate rate, ExposureTime exposure, string why) => new(rate, exposure,
        $"Shoot one more take of this light at the same dimmer level with the same camera, {rate.ToShortText()} frames per second and shutter {exposure.ToShortText()}, {Care}.",
        AsSentence(why));

    private static NextTake TellAgain(FrameRate rate, ExposureTime exposure, string why) => new(rate, exposure,
        $"Shoot the take at {rate.ToShortText()} frames per second and shutter {exposure.ToShortText()} again, {Care}, once what its notes ask for is put right, and use it in place of the old one.",
        AsSentence(why));

    private static string AsSentence(string why) => char.ToUpperInvariant(why[0]) + why[1..] + ".";
}
