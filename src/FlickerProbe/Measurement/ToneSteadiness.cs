using System.Numerics;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>How well one alias describes a tone through the whole clip, told by its phase from piece to piece.</summary>
/// <remarks>
/// Frames that are missing under even time stamps, a rate that changed unnoticed or a light that hunts make a tone's phase jump or bend. One
/// cosine fitted to all of it goes through the middle, with a slope that no piece has. The median step from one piece to the next is what the
/// pieces say themselves, and the jumps do not reach it. A steady tone's phase stays where the fit puts it.
/// </remarks>
internal static class ToneSteadiness
{
    private const int MostPieces = 24, FewestTicks = 6;

    /// <summary>Phase may stray so far, radians r.m.s., by drift of level and the encoder's doing.</summary>
    private const double StrayRadians = 0.25;

    /// <summary>And so many times its own noise.</summary>
    private const double NoiseDeviations = 4;

    /// <summary>What a wandering phase has done to a tone.</summary>
    /// <param name="Shift">What to add to the alias, in cells (one over the clip's length).</param>
    /// <param name="Deviation">Its standard deviation, cells.</param>
    /// <param name="Gain">How many times stronger the pieces show the tone than the whole does.</param>
    internal readonly record struct Wander(double Shift, double Deviation, double Gain);

    /// <summary>A tone that does not wander.</summary>
    public static readonly Wander None = new(0, 0, 1);

    /// <summary>Looks at a tone; no shift, no deviation and a gain of 1 for a steady one.</summary>
    public static Wander Of(LightMatrix matrix, ToneFit fit, PlaneTone tone)
    {
        int pieces = Min(MostPieces, matrix.Ticks / FewestTicks);
        if (pieces < 4 || tone.Amplitude <= 0) return None;
        Complex[] gains = Gains(matrix, fit.Residual, tone, pieces);
        double[] steps = new double[pieces - 1], phases = new double[pieces];
        phases[0] = (gains[0] / tone.Z).Phase;
        for (int i = 0; i < steps.Length; i++)
        {
            steps[i] = (gains[i + 1] * Complex.Conjugate(gains[i])).Phase;
            phases[i + 1] = phases[i] + steps[i];
        }
        double mean = phases.Average(), stray = Sqrt(phases.Average(p => (p - mean) * (p - mean)));
        double noise = tone.AmplitudeDeviation * Sqrt(pieces) / tone.Amplitude;
        if (stray < Max(StrayRadians, NoiseDeviations * noise)) return None;
        double middle = Order.Median([.. steps]), scatter = Order.Median([.. steps.Select(s => Abs(s - middle))]);
        double cells = pieces / (2 * PI);
        double gain = Order.Median([.. gains.Select(g => g.Magnitude)]) / tone.Amplitude;
        return new Wander(middle * cells, double.Hypot(middle / 2, scatter) * cells, Max(1, gain));
    }

    /// <summary>The tone's complex amplitude in each piece: as fitted, and what the residual still shows of it.</summary>
    private static Complex[] Gains(LightMatrix matrix, float[] residual, PlaneTone tone, int pieces)
    {
        int lines = matrix.Lines;
        double tickCentre = (matrix.Ticks - 1) / 2.0;
        (float[] cosine, float[] sine) = RowKernel.Wave(tone.Nu, lines, (lines - 1) / 2.0);
        var sums = new Complex[pieces];
        int[] counts = new int[pieces];
        for (int n = 0; n < matrix.Ticks; n++)
        {
            if (!matrix.Present[n]) continue;
            ReadOnlySpan<float> row = residual.AsSpan(n * lines, lines);
            (double c, double s) = RowKernel.Dots(row, cosine, sine);
            Complex seen = new(c, -s);
            int piece = (int)((long)n * pieces / matrix.Ticks);
            sums[piece] += seen * Complex.FromPolarCoordinates(2.0 / lines, -2 * PI * (tone.X * (n - tickCentre) + tone.Nu * matrix.LineOffset(n)));
            counts[piece]++;
        }
        return [.. sums.Select((sum, i) => tone.Z + (counts[i] == 0 ? 0 : sum / counts[i]))];
    }
}
