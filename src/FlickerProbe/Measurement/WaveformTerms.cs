using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Hands the fitted tones to the waveform as functions of the phases of their fundamentals, strongest group first.</summary>
internal static class WaveformTerms
{
    /// <summary>One list of terms per set of groups that share phases: the two strongest with their sums and differences, then the rest.</summary>
    /// <param name="matrix">The take.</param>
    /// <param name="model">Its tones.</param>
    /// <param name="asRecorded">Whether to leave out what predicted frames lost and key frames show.</param>
    public static List<List<RecordedWaveform.Term>> Of(LightMatrix matrix, ToneModel model, bool asRecorded = false)
    {
        var lists = new List<List<RecordedWaveform.Term>>();
        OvertoneGrouping.Grouping grouping = model.Grouping;
        if (grouping.Groups.Count == 0) return lists;
        RecordedWaveform.Term TermOf(int tone, bool mirrored, int a, int b)
        {
            PlaneTone t = model.Fit.Tones[tone];
            Complex z = t.AtFirstCell(matrix) * (asRecorded ? 1 : model.Prediction.Restoring(tone).Factor);
            return new RecordedWaveform.Term(mirrored ? Complex.Conjugate(z) : z, a, b, t.AmplitudeDeviation * model.NoiseScale(t));
        }

        int[] order = [.. Enumerable.Range(0, grouping.Groups.Count)
            .OrderByDescending(g => grouping.Groups[g].Members.Max(m => model.Fit.Tones[m.Tone].Amplitude))];
        var combined = grouping.Combinations.ToList();
        // The pair with sums and differences between them share one torus of phases; without such a pair each group stands alone.
        OvertoneGrouping.Combination? strongestSum = combined.Count == 0 ? null : combined.MaxBy(c => model.Fit.Tones[c.Tone].Amplitude);
        int first = strongestSum?.FirstGroup ?? order[0], second = strongestSum?.SecondGroup ?? -1;
        var main = grouping.Groups[first].Members.Select(m => TermOf(m.Tone, m.Mirrored, m.Multiple, 0)).ToList();
        if (second >= 0)
        {
            main.AddRange(grouping.Groups[second].Members.Select(m => TermOf(m.Tone, m.Mirrored, 0, m.Multiple)));
            foreach (OvertoneGrouping.Combination c in combined)
            {
                if (c.FirstGroup == first && c.SecondGroup == second) main.Add(TermOf(c.Tone, c.Mirrored, c.A, c.B));
                else if (c.FirstGroup == second && c.SecondGroup == first) main.Add(TermOf(c.Tone, c.Mirrored, c.B, c.A));
                else lists.Add([TermOf(c.Tone, c.Mirrored, 1, 0)]);
            }
        }
        lists.Insert(0, main);
        foreach (int g in order)
        {
            if (g == first || g == second) continue;
            lists.Add([.. grouping.Groups[g].Members.Select(m => TermOf(m.Tone, m.Mirrored, m.Multiple, 0))]);
        }
        return lists;
    }
}
