using System.Numerics;
using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Units;
using static System.FormattableString;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>All takes of one light at one dimmer level become one statement about the light: candidates intersect, amplitudes are undone through each exposure.</summary>
/// <remarks>
/// Source amplitude a = A / |G(f)| (measurement model, "Undoing the exposure"). A tone that another take should have shown and did not
/// rules that candidate out; when none is left the takes contradict each other and say so.
/// </remarks>
public static class LightFusion
{
    /// <summary>Largest amplitude of one tone relative to the mean that any light can have (narrow pulses approach it).</summary>
    private const double LargestAmplitude = 2;

    /// <summary>Where more frequencies than this fit, a list of them says no more than that it may be any.</summary>
    private const int MostCandidates = FrequencyCandidates.MostFromAlias + 1;

    /// <summary>Fuses the takes.</summary>
    /// <exception cref="ArgumentException">There is no take.</exception>
    public static LightEstimate Fuse(IReadOnlyList<TakeMeasurement> takes)
    {
        ArgumentNullException.ThrowIfNull(takes);
        if (takes.Count == 0) throw new ArgumentException("At least one take is needed.", nameof(takes));

        var findings = new List<Finding>();
        List<LightSeries> series = MatchSeries(takes, findings);
        var components = new List<LightComponent>();
        for (int s = 0; s < series.Count; s++)
        {
            if (series[s].Candidates.Count <= MostCandidates) components.AddRange(series[s].Components(takes, s, findings));
        }
        components.AddRange(LooseTones(takes).Where(c => c.CandidatesHz.Count <= MostCandidates));
        LightComponent[] ordered = [.. components.OrderByDescending(c => c.Amplitude.Value)];

        LightSeries? main = series.Count == 0 ? null : series[0];
        (Estimate? depth, Estimate? index) = SourceShape(takes, ordered);
        // What a take that proves nothing did not show, bounds nothing; when no take is sound, their doubts become the light's.
        TakeMeasurement[] sound = [.. takes.Where(t => t.IsSound)];
        if (sound.Length == 0) findings.AddRange(takes.SelectMany(t => t.Findings).Where(f => f.ForbidsPass).DistinctBy(f => f.Code));
        findings.AddRange(HalfWaveLight.Doubts(takes));
        IReadOnlyList<BlindSpot> blind = [.. (sound.Length > 0 ? sound : takes).Select(t => WithUnplaced(t.Blind, t.Tones, components))];
        return new LightEstimate(main?.Fundamental, main?.Candidates ?? [], depth, index, ordered, blind) { Findings = findings };
    }

    /// <summary>A tone that none of the components accounts for may be light of any frequency: nothing as strong is ruled out.</summary>
    private static BlindSpot WithUnplaced(BlindSpot blind, IReadOnlyList<Tone> tones, List<LightComponent> components)
    {
        double unplaced = tones.Where(t => t.CandidatesHz.Count == 0 || (t.CandidatesHz.Count > MostCandidates && !components.Exists(c => Places(c, t))))
            .Select(t => Min(1, t.Amplitude.High)).DefaultIfEmpty().Max();
        return unplaced > blind.DetectionLimit ? blind with { DetectionLimit = unplaced } : blind;
    }

    private static bool Places(LightComponent component, Tone tone) => component.CandidatesHz.Any(c => tone.CandidatesHz.Any(f => Abs(c - f) < 1e-4 * f));

    /// <summary>Each take's groups, matched across takes by a frequency that fits all.</summary>
    private static List<LightSeries> MatchSeries(IReadOnlyList<TakeMeasurement> takes, List<Finding> findings)
    {
        var open = new List<(int Take, List<Tone> Group)>();
        for (int i = 0; i < takes.Count; i++)
        {
            open.AddRange(takes[i].Tones.Where(t => t.Group is not null).GroupBy(t => t.Group!.Value)
                .Select(g => (i, g.OrderBy(t => t.HarmonicNumber ?? 1).ToList())));
        }
        var series = new List<LightSeries>();
        while (open.Count > 0)
        {
            (int take, List<Tone> group) = open.MaxBy(o => o.Group.Max(t => t.Amplitude.Value));
            var current = LightSeries.Start(take, group);
            open.RemoveAll(o => ReferenceEquals(o.Group, group));
            for (int i = 0; i < takes.Count; i++)
            {
                if (i == take) continue;
                foreach ((int _, List<Tone> other) in open.Where(o => o.Take == i).OrderByDescending(o => o.Group.Max(t => t.Amplitude.Value)).ToArray())
                {
                    if (!current.TryJoin(i, other)) continue;
                    open.RemoveAll(o => ReferenceEquals(o.Group, other));
                    break;
                }
            }
            // What no frequency joins may still be one light, whose driver wandered.
            if (!series.Exists(stronger => stronger.TryMerge(current))) series.Add(current);
        }
        foreach (LightSeries one in series)
        {
            one.RuleOutUnseen(takes, findings);
            if (one.Wandered() is { } wandered) findings.Add(wandered);
        }
        return series;
    }

    /// <summary>Sums and differences, and tones of unknown kin: taken from the take that shows them best.</summary>
    private static IEnumerable<LightComponent> LooseTones(IReadOnlyList<TakeMeasurement> takes)
    {
        TakeMeasurement best = takes.MaxBy(t => t.Tones.Where(x => x.Group is null).Sum(x => x.TimesLimit))!;
        foreach (Tone tone in best.Tones.Where(t => t.Group is null))
        {
            double[] candidates = [.. tone.CandidatesHz.Where(f => !takes.Any(t => !ReferenceEquals(t, best) && AbsentTone.RulesOut(t, f, tone, best.Take.Exposure)))];
            // What no frequency explains is no light that all takes show: it stays as its own take has it.
            if (candidates.Length == 0) candidates = [.. tone.CandidatesHz];
            if (candidates.Length == 0) continue;
            Estimate amplitude = SourceAmplitude(tone.Amplitude, candidates, best.Take.Exposure);
            yield return new LightComponent(
                tone.FrequencyHz ?? Among(candidates, tone.AliasHz.HalfWidth), amplitude, null,
                candidates.Length == 1 ? ComponentState.Resolved : ComponentState.Ambiguous, candidates, null, null)
            {
                CandidateHalfWidthHz = candidates.Length == 1 ? null : tone.AliasHz.HalfWidth,
            };
        }
    }

    /// <summary>The first of some frequencies with an interval that holds them all.</summary>
    private static Estimate Among(double[] hertz, double halfWidth) => new(hertz[0], hertz[0] - halfWidth, hertz[^1] + halfWidth);

    /// <summary>Source amplitude over all frequencies that remain and over the exposure's tolerance.</summary>
    internal static Estimate SourceAmplitude(Estimate recorded, IReadOnlyList<double> candidatesHz, ExposureTime? exposure)
    {
        // Without the exposure |G| ≤ 1 makes the recorded amplitude a lower bound.
        if (exposure is null) return new Estimate(recorded.Value, recorded.Low, LargestAmplitude);
        double first = Abs(ExposureGain.At(candidatesHz[0], exposure.Seconds));
        double low = double.PositiveInfinity, high = 0;
        foreach (double f in candidatesHz)
        {
            double gain = ExposureGain.At(f, exposure.Seconds);
            double spread = ExposureGain.HalfWidth(f, exposure);
            low = Min(low, recorded.Low / (Abs(gain) + spread));
            double smallest = Abs(gain) - spread;
            high = Max(high, smallest > 1e-6 ? recorded.High / smallest : LargestAmplitude);
        }
        double value = first > 1e-6 ? recorded.Value / first : LargestAmplitude;
        high = Min(high, LargestAmplitude);
        value = Min(value, high);
        return new Estimate(value, Min(low, value), high);
    }

    private static (Estimate? Depth, Estimate? Index) SourceShape(IReadOnlyList<TakeMeasurement> takes, IReadOnlyList<LightComponent> components)
    {
        if (takes.All(t => t.Take.Exposure is null)) return (null, null);
        double unseen = takes.Min(t => t.DetectionLimit);
        if (components.Count == 0)
        {
            // Nothing seen: what the shutters could hide has no bound of its own here; the forecast states it per format.
            return (null, null);
        }
        var groups = components.GroupBy(c => c.Group ?? -1 - components.ToList().IndexOf(c))
            .Select(g => g.Select(c => new RecordedWaveform.Term(
                Complex.FromPolarCoordinates(c.Amplitude.Value, c.PhaseRadians ?? 0), c.HarmonicNumber ?? 1, 0,
                c.Amplitude.StandardDeviation)).ToList())
            .OrderByDescending(g => g.Max(t => t.Z.Magnitude)).ToList();
        RecordedWaveform.Shape shape = RecordedWaveform.Of(groups[0], [.. groups.Skip(1)]);
        double strongest = components[0].Amplitude.Value;
        double asymmetryHigh = components[0].Amplitude.High / Max(strongest, 1e-9), asymmetryLow = components[0].Amplitude.Low / Max(strongest, 1e-9);
        double spread = Estimate.Coverage95 * shape.DepthDeviation + unseen;
        var depth = new Estimate(shape.Depth, Max(0, Min(shape.Depth - spread, shape.Depth * asymmetryLow)), Min(1, Max(shape.Depth + spread, shape.Depth * asymmetryHigh)));
        var index = new Estimate(shape.FlickerIndex, Max(0, Min(shape.FlickerIndex - spread / 2, shape.FlickerIndex * asymmetryLow)), Min(1, Max(shape.FlickerIndex + spread / 2, shape.FlickerIndex * asymmetryHigh)));
        return (depth, index);
    }
}
