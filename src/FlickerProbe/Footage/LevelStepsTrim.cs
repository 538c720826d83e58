using static System.Math;

namespace FlickerProbe.Footage;

/// <summary>Trims from a flat stretch what still belongs to the fade before or after it.</summary>
internal static class LevelStepsTrim
{
    /// <summary>Samples that are judged together at an end.</summary>
    private const int Window = 3;

    /// <summary>Cuts samples off both ends while they lie off the stretch's own line and beat by more than its noise allows.</summary>
    internal static LevelStepsPieces.Flat Ends(LevelStepsPieces.Flat flat, LevelStepsModel model, double smallestStep)
    {
        if (flat.End - flat.First < 3 * Window) return flat;
        double[] rest = Residual(model, flat);
        // The spread of the windows themselves, since what is left of a beat does not average out like noise.
        double[] sorted = [.. Enumerable.Range(0, rest.Length - Window + 1).Select(i => Abs(Mean(rest, i))).Order()];
        // A quarter of the smallest step at least, or a very quiet trace would be trimmed for nothing.
        double limit = Max(3 * 1.4826 * sorted[sorted.Length / 2], smallestStep / 4);
        int most = rest.Length / 3, start = 0, stop = rest.Length;
        while (start < most && Abs(Mean(rest, start)) > limit) start++;
        while (rest.Length - stop < most && Abs(Mean(rest, stop - Window)) > limit) stop--;
        return flat with { First = flat.First + start, End = flat.First + stop };
    }

    private static double[] Residual(LevelStepsModel model, LevelStepsPieces.Flat flat)
    {
        // Fitted on the middle third's surroundings only, so that a fade's tail at an end does not bend the line.
        int length = flat.End - flat.First, inner = length / 6;
        double[] middle = model.Trace[(flat.First + inner)..(flat.End - inner)];
        double[] coefficients = LevelStepsFit.Coefficients(middle, flat.First + inner, model);
        double[] rest = new double[length];
        for (int i = 0; i < length; i++)
            rest[i] = model.Trace[flat.First + i] - LevelStepsFit.Value(coefficients, flat.First + i, model);
        return rest;
    }

    private static double Mean(double[] values, int from) => (values[from] + values[from + 1] + values[from + 2]) / Window;
}
