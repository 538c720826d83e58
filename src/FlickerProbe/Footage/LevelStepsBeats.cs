using static System.Math;

namespace FlickerProbe.Footage;

/// <summary>Finds the slow regular beats in a level trace that is also stepped, so that they are not taken for steps.</summary>
/// <remarks>
/// Differencing turns steps and fades into a few large values, which are set to zero; what stays is noise and beat. A beat of frequency ω
/// (radians a sample) comes through the difference with the factor 2 sin(ω/2), which is undone before peaks are ranked.
/// </remarks>
internal static class LevelStepsBeats
{
    /// <summary>Differences above so many robust standard deviations belong to a step or a fade. A sine reaches 1.36 of its own.</summary>
    private const double StepSigmas = 4;

    /// <summary>A peak must stand over the median power by this factor. In noise alone the largest of n/2 values reaches about ln(n/2)/ln 2, under 13 for 1000 samples.</summary>
    private const double PeakOverMedian = 20;

    /// <summary>Fewer cycles than this in the whole clip can't be told from steps.</summary>
    private const double FewestCycles = 2.5;

    /// <summary>One beat: radians per sample and amplitude in the trace's unit.</summary>
    internal readonly record struct Beat(double RadiansPerSample, double Amplitude);

    /// <summary>The strongest beats, strongest first.</summary>
    internal static IReadOnlyList<Beat> Find(double[] trace, int most)
    {
        var beats = new List<Beat>();
        if (trace.Length < 32) return beats;
        double[] difference = new double[trace.Length - 1];
        for (int i = 0; i < difference.Length; i++) difference[i] = trace[i + 1] - trace[i];
        double spread = Max(1e-6, 1.4826 * MedianAbsolute(difference));
        for (int i = 0; i < difference.Length; i++)
        {
            if (Abs(difference[i]) > StepSigmas * spread) difference[i] = 0;
        }

        for (int found = 0; found < most; found++)
        {
            if (Strongest(difference) is not { } peak) break;
            beats.Add(new Beat(peak.Radians, peak.Amplitude / (2 * Sin(peak.Radians / 2))));
            for (int i = 0; i < difference.Length; i++) difference[i] -= peak.Cosine * Cos(peak.Radians * i) + peak.Sine * Sin(peak.Radians * i);
        }
        return beats;
    }

    private static (double Radians, double Amplitude, double Cosine, double Sine)? Strongest(double[] signal)
    {
        int n = signal.Length;
        const int oversampling = 4;
        int grid = oversampling * n / 2;
        double[] power = new double[grid];
        int first = (int)Ceiling(oversampling * FewestCycles), best = -1;
        double bestTrace = 0;
        for (int k = first; k < grid; k++)
        {
            double radians = PI * k / grid;
            (double c, double s) = Project(signal, radians);
            power[k] = c * c + s * s;
            double inTrace = power[k] / (4 * Sin(radians / 2) * Sin(radians / 2));
            if (inTrace > bestTrace) (bestTrace, best) = (inTrace, k);
        }
        if (best < 0) return null;
        double[] sorted = power[first..];
        Array.Sort(sorted);
        double floor = sorted[sorted.Length / 2];
        if (power[best] < PeakOverMedian * Max(floor, 1e-14)) return null;

        // Refine on a grid thirty times finer: a beat must stay in step with its model from end to end of the clip.
        double centre = PI * best / grid, width = PI / grid, refined = centre, strongest = 0;
        for (int i = -30; i <= 30; i++)
        {
            double radians = centre + width * i / 30;
            (double c, double s) = Project(signal, radians);
            if (c * c + s * s > strongest) (strongest, refined) = (c * c + s * s, radians);
        }
        (double cosine, double sine) = Project(signal, refined);
        return (refined, double.Hypot(cosine, sine), cosine, sine);
    }

    private static (double Cosine, double Sine) Project(double[] signal, double radians)
    {
        // Rotation by a fixed angle instead of a sine for each sample; a thousand steps lose about 1e-13.
        double c = 1, s = 0, cosine = 0, sine = 0, stepCosine = Cos(radians), stepSine = Sin(radians);
        foreach (double value in signal)
        {
            cosine += value * c;
            sine += value * s;
            (c, s) = (c * stepCosine - s * stepSine, s * stepCosine + c * stepSine);
        }
        return (2 * cosine / signal.Length, 2 * sine / signal.Length);
    }

    internal static double MedianAbsolute(double[] values)
    {
        if (values.Length == 0) return 0;
        double[] sorted = Array.ConvertAll(values, Abs);
        Array.Sort(sorted);
        return sorted[sorted.Length / 2];
    }
}
