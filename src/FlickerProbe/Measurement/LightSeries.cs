using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Units;
using static System.FormattableString;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>One fundamental with its overtones as several takes saw it.</summary>
internal sealed class LightSeries
{
    private readonly List<(int Take, List<Tone> Tones)> _sights = [];

    /// <summary>How far the takes' rates lie apart where the driver's clock wandered between them, hertz of the fundamental; 0 where it held.</summary>
    private double _wanderedHz;

    private LightSeries(IReadOnlyList<double> candidates) => Candidates = candidates;

    /// <summary>Fundamental frequencies that fit all takes, hertz, ascending.</summary>
    public IReadOnlyList<double> Candidates { get; private set; }

    /// <summary>The fundamental when one value remains.</summary>
    public Estimate? Fundamental { get; private set; }

    /// <summary>Begins with one take's group.</summary>
    public static LightSeries Start(int take, List<Tone> tones)
    {
        var series = new LightSeries(FundamentalCandidates(tones));
        series._sights.Add((take, tones));
        series.Settle();
        return series;
    }

    /// <summary>Adds another take's group when at least one frequency fits both; the candidates become the common ones.</summary>
    public bool TryJoin(int take, List<Tone> tones)
    {
        IReadOnlyList<double> theirs = FundamentalCandidates(tones);
        double deviation = Deviation(tones) + _sights.Max(s => Deviation(s.Tones));
        double[] common = [.. Candidates.Where(f => theirs.Any(g => Abs(f - g) <= DriverClock.Wander(f, deviation)))];
        if (common.Length == 0) return false;
        Candidates = common;
        _sights.Add((take, tones));
        Settle();
        return true;
    }

    /// <summary>Takes in another series of other takes when both have one rate and it may be the same light, whose driver wandered; the rate then reaches over both.</summary>
    public bool TryMerge(LightSeries other)
    {
        // Of long lists some two rates lie that near by chance.
        if (Candidates.Count != 1 || other.Candidates.Count != 1 || other._sights.Any(s => _sights.Exists(t => t.Take == s.Take))) return false;
        double apart = Abs(Candidates[0] - other.Candidates[0]);
        if (apart > DriverClock.MostWander * Candidates[0]) return false;
        _wanderedHz = Max(apart, Max(_wanderedHz, other._wanderedHz));
        _sights.AddRange(other._sights);
        Settle();
        return true;
    }

    /// <summary>Says so when the one rate of the light is not the same in all takes.</summary>
    public Finding? Wandered()
    {
        if (_wanderedHz == 0) return null;
        double[] rates = [.. _sights.Select(s => RateIn(s.Tones, Candidates[0]))];
        return new Finding(FindingCodes.RateWandered, Invariant(
            $"The light pulses at {rates.Min():0.##} Hz in one take and at {rates.Max():0.##} Hz in another: its driver wanders as it warms, or the takes are not of one lamp at one level. What lies between is counted in; let the lamp get warm and shoot the takes right after each other."));
    }

    /// <summary>Strikes candidates that a take without this series should have shown; with none left the takes contradict each other.</summary>
    public void RuleOutUnseen(IReadOnlyList<TakeMeasurement> takes, List<Finding> findings)
    {
        var seen = _sights.Select(s => s.Take).ToHashSet();
        Tone lead = Lead(_sights[0].Tones);
        TakeMeasurement by = takes[_sights[0].Take];
        var kept = new List<double>(Candidates);
        for (int i = 0; i < takes.Count; i++)
        {
            if (!seen.Contains(i)) kept.RemoveAll(f => AbsentTone.RulesOut(takes[i], f * (lead.HarmonicNumber ?? 1), lead, by.Take.Exposure, _wanderedHz * (lead.HarmonicNumber ?? 1)));
        }
        if (kept.Count > 0)
        {
            Candidates = kept;
        }
        else if (Candidates.Count > 0)
        {
            findings.Add(new Finding(FindingCodes.ContradictingTakes, Invariant(
                $"One take shows flicker of {lead.Amplitude.Value:P1} that another take of the same light should show and does not: check that fixture, level and shutter are as written."))
            { ForbidsPass = true });
        }
        Settle();
    }

    /// <summary>The light's components from the take that shows each best.</summary>
    public IEnumerable<LightComponent> Components(IReadOnlyList<TakeMeasurement> takes, int number, List<Finding> findings)
    {
        if (Candidates.Count == 0) yield break;
        int[] multiples = [.. _sights.SelectMany(s => s.Tones).Select(t => t.HarmonicNumber ?? 1).Distinct().Order()];
        bool contradiction = false;
        double? halfWidth = Candidates.Count == 1 ? null : _sights.Max(s => Estimate.Coverage95 * Deviation(s.Tones));
        foreach (int multiple in multiples)
        {
            double[] hertz = [.. Candidates.Select(f => f * multiple)];
            var sources = new List<(Estimate Amplitude, double Phase, double Gain, double Weight)>();
            foreach ((int take, List<Tone> tones) in _sights)
            {
                Tone? tone = tones.FirstOrDefault(t => (t.HarmonicNumber ?? 1) == multiple);
                if (tone is null) continue;
                ExposureTime? exposure = takes[take].Take.Exposure;
                // Where the clock wandered, each take saw the light at a rate of its own.
                double[] own = _wanderedHz == 0 ? hertz : [.. Candidates.Select(f => multiple * RateIn(tones, f))];
                Estimate source = LightFusion.SourceAmplitude(tone.Amplitude, own, exposure);
                double gain = exposure is null ? 1 : ExposureGain.At(own[0], exposure.Seconds);
                double width = Max(source.High - source.Low, 1e-9);
                sources.Add((source, PhaseAgainstFundamental(tones, tone, takes[take], hertz[0]), gain, 1 / (width * width)));
            }
            (Estimate best, double phase, double _, double _) = sources.MaxBy(s => s.Weight);
            Estimate amplitude = best;
            if (sources.Count > 1)
            {
                double low = sources.Max(s => s.Amplitude.Low), high = sources.Min(s => s.Amplitude.High);
                if (low <= high * 1.02)
                {
                    double weight = sources.Sum(s => s.Weight);
                    double value = sources.Sum(s => s.Weight * s.Amplitude.Value) / weight;
                    amplitude = new Estimate(value, Min(value, best.Low), Max(value, best.High));
                }
                else
                {
                    // They disagree: the statement covers all of them.
                    amplitude = new Estimate(best.Value, sources.Min(s => s.Amplitude.Low), sources.Max(s => s.Amplitude.High));
                    contradiction |= multiple == 1 && low > 1.25 * high;
                }
            }
            Estimate frequency = Fundamental is { } f0 ? f0.Scale(multiple) : new Estimate(hertz[0], hertz[0], hertz[^1]);
            yield return new LightComponent(frequency, amplitude, phase,
                Candidates.Count == 1 ? ComponentState.Resolved : ComponentState.Ambiguous, hertz, number, multiple)
            {
                CandidateHalfWidthHz = multiple * halfWidth,
            };
        }
        if (contradiction)
        {
            findings.Add(new Finding(FindingCodes.ContradictingTakes,
                "Two takes of the same light give different depths once their shutters are undone: check the shutter and the dimmer level written for each.")
            { ForbidsPass = true });
        }
    }

    private static double PhaseAgainstFundamental(List<Tone> tones, Tone tone, TakeMeasurement take, double hertz)
    {
        double Turned(Tone t, double f)
        {
            // A negative gain records the tone upside down.
            bool flipped = take.Take.Exposure is { } exposure && ExposureGain.At(f, exposure.Seconds) < 0;
            return t.PhaseRadians + (flipped ? PI : 0);
        }
        int multiple = tone.HarmonicNumber ?? 1;
        Tone? fundamental = tones.FirstOrDefault(t => (t.HarmonicNumber ?? 1) == 1);
        if (fundamental is null) return IEEERemainder(Turned(tone, hertz), 2 * PI);
        return IEEERemainder(Turned(tone, hertz) - multiple * Turned(fundamental, hertz / multiple), 2 * PI);
    }

    private static Tone Lead(List<Tone> tones) => tones.MaxBy(t => t.Amplitude.Value)!;

    private static IReadOnlyList<double> FundamentalCandidates(List<Tone> tones)
    {
        Tone first = tones[0];
        return [.. first.CandidatesHz.Select(f => f / (first.HarmonicNumber ?? 1))];
    }

    /// <summary>What one take says of a fundamental that fits all of them: the nearest that fits it, hertz.</summary>
    private static double RateIn(List<Tone> tones, double candidateHz) => FundamentalCandidates(tones).MinBy(f => Abs(f - candidateHz));

    private static double Deviation(List<Tone> tones) =>
        tones[0].AliasHz.StandardDeviation / (tones[0].HarmonicNumber ?? 1);

    private void Settle()
    {
        if (Candidates.Count != 1)
        {
            Fundamental = null;
            return;
        }
        double candidate = Candidates[0];
        var values = new List<Estimate>();
        foreach ((int _, List<Tone> tones) in _sights)
        {
            Tone first = tones[0];
            int multiple = first.HarmonicNumber ?? 1;
            double nearest = RateIn(tones, candidate);
            double half = first.AliasHz.HalfWidth / multiple;
            if (first.FrequencyHz is { } known) half = Max(half, known.HalfWidth / multiple);
            values.Add(new Estimate(nearest, nearest - half, nearest + half));
        }
        Estimate best = values.MinBy(v => v.High - v.Low);
        bool agree = values.All(v => v.Low <= best.High && v.High >= best.Low);
        // What was seen to move may move as far again.
        Fundamental = agree && _wanderedHz == 0 ? best : new Estimate(best.Value, values.Min(v => v.Low) - _wanderedHz, values.Max(v => v.High) + _wanderedHz);
        Candidates = [best.Value];
    }
}
