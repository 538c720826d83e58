using FlickerProbe.Camera;

namespace FlickerProbe.Planning;

/// <summary>Some settings of one camera, with what they resolve together.</summary>
/// <param name="Camera">The camera.</param>
/// <param name="Calibrated">Whether a calibration take comes first.</param>
/// <param name="Settings">The settings, one take each.</param>
/// <param name="Resolved">For each light whether its frequency and depth are both known.</param>
/// <param name="Share">Mean over the kinds of light of the weight resolved, 0…1, with a little for lights that only show.</param>
internal sealed record SettingChoice(
    PlanCamera Camera, bool Calibrated, IReadOnlyList<CameraSetting> Settings, bool[] Resolved, double Share)
{
    /// <summary>What is known of the camera's readout with this choice.</summary>
    internal ReadoutKnowledge Readout => ReadoutKnowledge.Of(Camera.Readout, Calibrated);

    /// <summary>Clips to shoot for so many fixtures.</summary>
    internal int Clips(int fixtures) => Settings.Count * fixtures + (Calibrated ? 1 : 0);
}

/// <summary>Scores settings of one camera against the lights that may turn up, and finds the best one, two and three of them.</summary>
internal sealed class SettingScores
{
    private const int MostTakes = 3;

    /// <summary>Of sets that resolve so nearly the same share, the one that gathers the most light is taken: short exposures need light that a stage may not have.</summary>
    private const double AsGood = 0.015;

    /// <summary>A light that only shows is worth this much of a resolved one: the measurement can then ask for the take that decides.</summary>
    private const double WorthOfShowing = 0.1;
    private readonly PlanCamera _camera;
    private readonly bool _calibrated;
    private readonly ReadoutKnowledge _readout;
    private readonly IReadOnlyList<PlausibleLight> _lights;
    private readonly IReadOnlyList<CameraSetting> _settings;
    private readonly bool[][] _shows;
    private readonly bool[][] _depth;
    private readonly FrameRate[] _rates;
    private readonly Dictionary<(int Light, int Rates), bool> _frequencies = [];
    private readonly int _kinds;

    internal SettingScores(PlanCamera camera, bool calibrated, IReadOnlyList<PlausibleLight> lights)
    {
        (_camera, _calibrated, _lights, _settings) = (camera, calibrated, lights, camera.Settings());
        _readout = ReadoutKnowledge.Of(camera.Readout, calibrated);
        _rates = [.. _settings.Select(s => s.Rate).Distinct()];
        bool isGlobal = _readout.State == ReadoutState.Global;
        _shows = [.. _settings.Select(s => lights.Select(l => TakeReach.Shows(l, s, isGlobal)).ToArray())];
        _depth = [.. _settings.Select(s => lights.Select(l => TakeReach.GivesDepth(l, s, isGlobal)).ToArray())];
        _kinds = lights.Select(l => l.Kind).Distinct().Count();
    }

    /// <summary>The best choice of each size. All pairs are tried; a third setting is added to the best twenty.</summary>
    internal IEnumerable<SettingChoice> BestOfEachSize()
    {
        List<int[]> sets = [.. Enumerable.Range(0, _settings.Count).Select(i => new[] { i })];
        for (int size = 1; size <= MostTakes && sets.Count > 0; size++)
        {
            var scored = sets.Select(set => (Set: set, Share: Score(set))).OrderByDescending(s => s.Share).ToList();
            yield return Choice(scored.Where(s => s.Share >= scored[0].Share - AsGood).MaxBy(s => LightGathered(s.Set)).Set);
            IEnumerable<int[]> parents = size == 1 ? sets : scored.Take(20).Select(s => s.Set);
            sets = [.. parents.SelectMany(set => Enumerable.Range(0, _settings.Count).Where(i => size == 1 ? i > set[^1] : !set.Contains(i)).Select(i => (int[])[.. set, i]))];
        }
    }

    /// <summary>The choice without one of its settings; to say what that one is for.</summary>
    internal SettingChoice Choice(IReadOnlyList<CameraSetting> settings) =>
        Choice([.. settings.Select(s => _settings.ToList().IndexOf(s))]);

    private SettingChoice Choice(int[] set) =>
        new(_camera, _calibrated, [.. set.Select(i => _settings[i])], [.. _lights.Select((_, l) => Resolves(set, l))], Score(set));

    private double Score(int[] set)
    {
        double sum = 0;
        for (int l = 0; l < _lights.Count; l++)
        {
            if (Resolves(set, l)) sum += _lights[l].Weight;
            else if (set.Any(i => _shows[i][l])) sum += WorthOfShowing * _lights[l].Weight;
        }
        return sum / _kinds;
    }

    private bool Resolves(int[] set, int light)
    {
        if (!set.Any(i => _depth[i][light])) return false;
        int rates = 0; // one bit for each rate at which the light shows
        foreach (int i in set)
        {
            if (_shows[i][light]) rates |= 1 << Array.IndexOf(_rates, _settings[i].Rate);
        }
        if (!_frequencies.TryGetValue((light, rates), out bool one))
            _frequencies[(light, rates)] = one = OpenFrequencies.OneRemains(_lights[light].FrequencyHz, [.. _rates.Where((_, bit) => (rates >> bit & 1) == 1)], _readout);
        return one;
    }

    private double LightGathered(int[] set) => set.Min(i => _settings[i].Exposure?.Seconds ?? 0);
}
