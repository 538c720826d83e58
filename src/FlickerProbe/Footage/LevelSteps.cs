using System.Globalization;
using FlickerProbe.Measurement;
using static System.Math;

namespace FlickerProbe.Footage;

/// <summary>Finds the steady stretches of a clip in which the dimmer is stepped through listed levels.</summary>
/// <remarks>
/// Works on the logarithm of the frames' mean light, so that a step from 10 % to 5 % weighs as much as one from 100 % to 50 %. Slow beats are
/// modelled, not smoothed: each piece of the trace is a line plus beats (<see cref="LevelStepsPartition"/>). Flat pieces are stretches, sloped ones fades.
/// The number of stretches is never forced to that of the listed levels: where they differ the reading says so and assigns nothing.
/// The limits below are the project's own choice; no published source.
/// </remarks>
public static class LevelSteps
{
    /// <summary>Light that is added before the logarithm, relative to nominal white, so that a dark stretch is not all noise: at least about one
    /// 8-bit code at black, at most one per cent, and in between a hundred times the noise of the darkest quarter.</summary>
    private const double SmallestFloor = 0.002, LargestFloor = 0.01, FloorPerNoise = 100;

    /// <summary>A change of level smaller than this share is no step: a warming lamp does as much.</summary>
    public const double SmallestStep = 0.02;

    /// <summary>A stretch is at least this long, seconds.</summary>
    public const double ShortestSeconds = 0.8;

    /// <summary>Levels that move faster than this share in a second are fading.</summary>
    private const double FadePerSecond = 0.025;

    /// <summary>Levels that move by more than this share in all are fading.</summary>
    private const double FadeInAll = 0.08;

    /// <summary>Reads the steps and gives each listed level its stretch, or says why it can't.</summary>
    /// <param name="take">The whole clip.</param>
    /// <param name="listedLevels">Dimmer levels 0…1 in the order in which they were set; no two neighbours equal.</param>
    public static LevelStepsReading Find(SampledTake take, IReadOnlyList<double> listedLevels)
    {
        double[] levels = FrameLevels(take);
        (List<LevelStretch> stretches, IReadOnlyList<double> beats) = Stretches(levels, take.Rate.PeriodSeconds);
        string? problem = Check(stretches, listedLevels, take.Rate.PeriodSeconds);
        if (problem is null) stretches = [.. stretches.Select((s, i) => s with { Dimmer = listedLevels[i] })];
        return new LevelStepsReading(take.Rate.PeriodSeconds, levels, stretches, listedLevels, problem is null ? null : new Finding(FindingCodes.SweepUnread, problem) { ForbidsPass = true })
        {
            BeatHz = beats,
        };
    }

    /// <summary>Mean linear light of each frame over all rows and strips.</summary>
    public static double[] FrameLevels(SampledTake take)
    {
        RowTraces traces = take.Traces;
        double[] levels = new double[traces.Frames];
        for (int strip = 0; strip < traces.Strips; strip++)
        {
            ReadOnlySpan<float> values = traces.Strip(strip);
            for (int frame = 0; frame < levels.Length; frame++)
            {
                double sum = 0;
                foreach (float value in values.Slice(frame * traces.Rows, traces.Rows)) sum += value;
                levels[frame] += sum / traces.Rows / traces.Strips;
            }
        }
        return levels;
    }

    private static (List<LevelStretch> Stretches, IReadOnlyList<double> BeatHz) Stretches(double[] levels, double framePeriod)
    {
        int framesInBin = Max(Max(1, (int)Round(0.1 / framePeriod)), (int)Ceiling(levels.Length / 900.0));
        double[] binned = Bin(levels, framesInBin);
        double floor = Clamp(FloorPerNoise * DarkNoise(binned), SmallestFloor, LargestFloor);
        double[] trace = Array.ConvertAll(binned, light => Log(light + floor));
        double binSeconds = framesInBin * framePeriod;
        int shortest = 4;
        if (trace.Length < 2 * shortest || trace.Length * binSeconds < ShortestSeconds) return ([], []);

        LevelStepsModel model = LevelStepsModel.Best(trace, shortest, SmallestStep);
        List<LevelStepsPieces.Flat> flats = LevelStepsPieces.Flats(
            model, SmallestStep, FadePerSecond * binSeconds, FadeInAll, Max(shortest, (int)Ceiling(ShortestSeconds / binSeconds)));
        var stretches = new List<LevelStretch>();
        foreach (LevelStepsPieces.Flat flat in flats)
        {
            int first = flat.First * framesInBin;
            int count = Min(levels.Length, flat.End * framesInBin) - first;
            // The last bin may have left up to framesInBin − 1 frames over; a stretch that runs to the end of the clip takes them.
            if (flat.End == trace.Length) count = levels.Length - first;
            stretches.Add(new LevelStretch(first, count, Exp(flat.Level) - floor, null));
        }
        return (stretches, [.. model.Beats.Select(b => b.RadiansPerSample / (2 * PI * binSeconds))]);
    }

    private static double[] Bin(double[] levels, int framesInBin)
    {
        double[] trace = new double[levels.Length / framesInBin];
        for (int i = 0; i < trace.Length; i++)
        {
            double sum = 0;
            for (int k = 0; k < framesInBin; k++) sum += levels[i * framesInBin + k];
            trace[i] = Max(0, sum / framesInBin);
        }
        return trace;
    }

    private static double DarkNoise(double[] binned)
    {
        if (binned.Length < 8) return 0;
        double dark = binned.Order().ElementAt(binned.Length / 4);
        double[] differences = [.. Enumerable.Range(1, binned.Length - 1).Where(i => binned[i] <= dark && binned[i - 1] <= dark).Select(i => binned[i] - binned[i - 1])];
        return 1.4826 / Sqrt(2) * LevelStepsBeats.MedianAbsolute(differences);
    }

    private static string? Check(List<LevelStretch> found, IReadOnlyList<double> listed, double framePeriod)
    {
        CultureInfo plain = CultureInfo.InvariantCulture;
        string where = string.Join(", ", found.Select(s => string.Create(plain,
            $"{s.FirstFrame * framePeriod:0.0}–{(s.FirstFrame + s.FrameCount) * framePeriod:0.0} s at {s.Level / Max(1e-9, found.Max(f => f.Level)) * 100:0.#} %")));
        if (found.Count != listed.Count)
        {
            string seen = found.Count == 0 ? "no steady stretch" : string.Create(plain, $"{found.Count} steady stretch{(found.Count == 1 ? "" : "es")} ({where} of the brightest)");
            return string.Create(plain, $"The sweep lists {listed.Count} levels but the clip shows {seen}: list the levels that were really set, give the times yourself with 'stretches', or shoot again and hold each level for 8 seconds or more.");
        }
        for (int i = 1; i < found.Count; i++)
        {
            if (Sign(found[i].Level - found[i - 1].Level) == Sign(listed[i] - listed[i - 1])) continue;
            string moved = found[i].Level > found[i - 1].Level ? "brighter" : "darker";
            return string.Create(plain, $"The sweep lists {listed[i - 1] * 100:0.#} % and then {listed[i] * 100:0.#} %, but the clip gets {moved} there ({where} of the brightest): put the levels in the order in which they were set.");
        }
        return null;
    }
}
