using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Prediction;
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

    /// <summary>Aliases closer than this can't be told apart in such a take, hertz.</summary>
    private const double TellApartHz = 0.2;

    /// <summary>Suggests the next take; null when nothing is open that a take could settle.</summary>
    /// <param name="light">What is known so far.</param>
    /// <param name="shot">Settings of the takes there are.</param>
    /// <param name="formats">Formats the verdict is for.</param>
    /// <param name="policy">The lines.</param>
    /// <remarks>Tried are the rates and shutters of the house formats and of the takes, and the standard ones. Each is scored by what it would settle: a format
    /// whose bound would come under the pass line counts 3, a lowered bound its share of that; frequency candidates told apart count up to 3.
    /// Shooting costs: another rate than in the takes 0.3, a shutter none of the house formats uses 0.2. The scores are the project's own choice.</remarks>
    public static NextTake? Suggest(LightEstimate light, IReadOnlyList<CameraFormat> shot, IReadOnlyList<CameraFormat> formats, Policy policy)
    {
        if (light.Blind.Count == 0 || light.Blind.All(b => b.ExposureSeconds is null)) return First(shot, formats);

        double limit = light.Blind.Min(b => b.DetectionLimit);
        CameraFormat[] open = [.. formats.Where(f => f.Exposure is not null && Bound(light.Blind, f) is var b && (b >= policy.Depth.Pass || b > 3 * limit))];
        double[] candidates = Candidates(light);
        bool isLocked = light.Blind.All(b => b.LockedBound is not null);
        if (open.Length == 0 && candidates.Length < 2 && !isLocked) return null;

        FrameRate[] known = [.. light.Blind.Select(b => b.Rate).Distinct()];
        (double Score, CameraFormat Format)? best = null;
        foreach (CameraFormat option in Options(light, shot, formats))
        {
            BlindSpot added = new(limit, option.Rate, option.Exposure!.Seconds, null, 1 / ShortestSeconds, isLocked && known.Contains(option.Rate) ? light.Blind.Min(b => b.LockedBound) : null);
            BlindSpot[] after = [.. light.Blind, added];
            double score = open.Sum(f => Gain(Bound(light.Blind, f), Bound(after, f), policy.Depth.Pass))
                + 3 * ToldApart(candidates, option)
                + (isLocked && !known.Contains(option.Rate) ? 2 : 0)
                - (known.Contains(option.Rate) ? 0 : 0.3)
                - (formats.Any(f => f.Exposure is { } e && Abs(e.Seconds / option.Exposure.Seconds - 1) < 0.005) ? 0 : 0.2);
            if (best is null || score > best.Value.Score + 1e-9) best = (score, option);
        }
        return best is { Score: > 0 } ? Describe(best.Value.Format, light, open, candidates, isLocked, policy) : null;
    }

    private static NextTake? First(IReadOnlyList<CameraFormat> shot, IReadOnlyList<CameraFormat> formats)
    {
        CameraFormat? wanted = formats.Concat(shot).FirstOrDefault(f => f.Exposure is not null && !f.Rate.IsStandIn);
        return wanted is null ? null : Tell(wanted.Rate, wanted.Exposure!,
            "so far no take has a known shutter, so nothing can be said of any other setting");
    }

    private static double Bound(IReadOnlyList<BlindSpot> takes, CameraFormat format) => new HiddenBound(takes).At(format).Depth;

    private static double Gain(double before, double after, double pass)
    {
        if (before >= pass && after < pass) return 3;
        return before <= after ? 0 : Min(1, Log(before / Max(after, 1e-6)) / Log(100));
    }

    private static double[] Candidates(LightEstimate light) => light.Components.FirstOrDefault(c => c.State == ComponentState.Ambiguous && c.CandidatesHz.Count > 1) is { } open
        ? [.. open.CandidatesHz]
        : [];

    /// <summary>Share of the candidate pairs that a take would tell apart: visible through its shutter and with different aliases.</summary>
    private static double ToldApart(double[] candidates, CameraFormat option)
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

    private static IEnumerable<CameraFormat> Options(LightEstimate light, IReadOnlyList<CameraFormat> shot, IReadOnlyList<CameraFormat> formats)
    {
        FrameRate[] usual = [FrameRate.FromRational(25, 1), FrameRate.FromRational(30000, 1001), FrameRate.FromRational(50, 1), FrameRate.FromRational(60000, 1001)];
        FrameRate[] rates = [.. formats.Select(f => f.Rate).Concat(light.Blind.Select(b => b.Rate)).Concat(shot.Select(f => f.Rate)).Concat(usual).Where(r => !r.IsStandIn).Distinct()];
        ExposureTime[] shutters =
        [
            .. formats.Where(f => f.Exposure is not null).Select(f => f.Exposure!)
                .Concat(light.Blind.Where(b => b.ExposureSeconds is not null).Select(b => ExposureTime.FromSeconds(b.ExposureSeconds!.Value)))
                .Concat(new[] { 50, 60, 100, 120, 180, 200, 250, 320, 500, 1000, 2000 }.Select(r => ExposureTime.FromSeconds(1.0 / r)))
                .DistinctBy(e => Round(Log(e.Seconds) / 0.002)),
        ];
        return rates.SelectMany(rate => shutters.Where(s => s.Seconds <= rate.PeriodSeconds * 1.002).Select(s => new CameraFormat(rate, s, null)));
    }

    private static NextTake Describe(CameraFormat take, LightEstimate light, CameraFormat[] open, double[] candidates, bool isLocked, Policy policy)
    {
        BlindSpot added = new(light.Blind.Min(b => b.DetectionLimit), take.Rate, take.Exposure!.Seconds, null, 1 / ShortestSeconds, null);
        string[] settled = [.. open.Where(f => Bound(light.Blind, f) >= policy.Depth.Pass && Bound([.. light.Blind, added], f) < policy.Depth.Pass).Select(f => f.ToShortText()).Distinct()];
        List<string> whys = [];
        if (candidates.Length > 1 && ToldApart(candidates, take) > 0)
            whys.Add("it tells apart the frequencies that still fit (" + string.Join(", ", candidates.Take(4).Select(c => c.ToString("0.#", CultureInfo.InvariantCulture))) + " Hz)");
        if (settled.Length > 0) whys.Add("it shows what the shutters so far could have hidden from " + string.Join(" and ", settled.Take(3)) + (settled.Length > 3 ? " and others" : ""));
        if (isLocked && light.Blind.All(b => b.Rate != take.Rate)) whys.Add("bands that stood still so far would move at this frame rate");
        if (whys.Count == 0) whys.Add("it narrows down what the shutters so far could have hidden");
        return Tell(take.Rate, take.Exposure, string.Join(", and ", whys));
    }

    private static NextTake Tell(FrameRate rate, ExposureTime exposure, string why) => new(rate, exposure,
        string.Create(CultureInfo.InvariantCulture,
            $"Shoot one more take of this light at the same dimmer level with the same camera, {rate.ToShortText()} frames per second and shutter {exposure.ToShortText()}, at least {ShortestSeconds:0} seconds, camera on a stand, nothing moving."),
        char.ToUpperInvariant(why[0]) + why[1..] + ".");
}
