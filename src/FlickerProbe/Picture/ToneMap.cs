using MathNet.Numerics.LinearAlgebra;

namespace FlickerProbe.Picture;

/// <summary>Linear light of upright strips of the whole picture, row by row, for some frames in a row.</summary>
/// <param name="Light">[frame][row × strips + strip].</param>
/// <param name="Strips">Strips across the coded picture.</param>
/// <param name="Rows">Rows kept.</param>
/// <param name="Seconds">Time of each frame's first row's turn, seconds.</param>
/// <param name="SecondFieldSeconds">How much later the rows of the second field are exposed; 0 for progressive pictures.</param>
/// <param name="SecondFieldParity">Which rows belong to the second field: 0 even, 1 odd.</param>
public sealed record StripLight(float[][] Light, int Strips, int Rows, double[] Seconds, double SecondFieldSeconds = 0, int SecondFieldParity = 1);

/// <summary>A tone to look for.</summary>
/// <param name="AliasHz">Alias at the frame rate (field rate), hertz, signed.</param>
/// <param name="BandsPerHeight">Cycles over the whole height of the picture.</param>
public readonly record struct MapTone(double AliasHz, double BandsPerHeight);

/// <summary>Where in the picture a tone lives: amplitude and phase on a grid.</summary>
/// <param name="Columns">Cells across the coded picture.</param>
/// <param name="Rows">Cells down.</param>
/// <param name="Amplitude">Amplitude relative to the cell's own mean light, cell by cell in rows; NaN where it can't be told from nothing.</param>
/// <param name="PhaseRadians">Phase of a cosine at time 0 and row 0: the same all over the area that one lamp lights.</param>
public sealed record ToneMap(int Columns, int Rows, float[] Amplitude, float[] PhaseRadians)
{
    /// <summary>A cell's amplitude must stand this many of its own standard deviations above nothing to be shown.</summary>
    private const double Deviations = 5;

    /// <summary>Below this amplitude a cell is called steady, whatever its noise: the project's own choice.</summary>
    private const double Steady = 0.002;

    /// <summary>Cells of less mean linear light than this are too dark to say anything.</summary>
    private const double Darkest = 0.02;

    /// <summary>Largest amplitude shown; 0 when the picture is steady.</summary>
    public double Largest => Amplitude.Where(float.IsFinite).DefaultIfEmpty(0).Max();

    /// <summary>Fits all tones together to each cell, each row about its own time mean: least squares on cosine and sine, centred as the data are.</summary>
    /// <remarks>Fitting them together keeps a strong tone out of the map of a weak one beside it. Bands that stand exactly still don't change with
    /// time and can't be mapped.</remarks>
    /// <param name="light">The picture.</param>
    /// <param name="tones">Tones that differ from one another within the frames at hand.</param>
    /// <param name="rows">Cells down.</param>
    /// <param name="cancellation">Ends the work.</param>
    /// <returns>One map a tone.</returns>
    public static IReadOnlyList<ToneMap> Of(StripLight light, IReadOnlyList<MapTone> tones, int rows, CancellationToken cancellation = default)
    {
        rows = Math.Clamp(rows, 1, light.Rows);
        int strips = light.Strips, unknowns = 2 * tones.Count, frames = light.Light.Length;
        ToneMap[] maps = [.. tones.Select(_ => new ToneMap(strips, rows, Empty(strips * rows), Empty(strips * rows)))];
        if (frames < 4) return maps;
        double[] wave = new double[frames * unknowns];
        for (int cellRow = 0; cellRow < rows; cellRow++)
        {
            cancellation.ThrowIfCancellationRequested();
            int first = cellRow * light.Rows / rows, end = (cellRow + 1) * light.Rows / rows;
            Matrix<double> normal = Matrix<double>.Build.Dense(unknowns, unknowns);
            double[,] right = new double[strips, unknowns];
            double[] energy = new double[strips], mean = new double[strips];
            for (int row = first; row < end; row++)
            {
                Waves(light, tones, row, wave);
                for (int a = 0; a < unknowns; a++)
                {
                    for (int b = 0; b < unknowns; b++)
                    {
                        double sum = 0;
                        for (int n = 0; n < frames; n++) sum += wave[n * unknowns + a] * wave[n * unknowns + b];
                        normal[a, b] += sum;
                    }
                }
                for (int strip = 0; strip < strips; strip++)
                    mean[strip] += AddStrip(light, row, strip, wave, unknowns, right, ref energy[strip]) / (end - first);
            }
            Matrix<double>? inverse = Inverse(normal);
            if (inverse is null) continue;
            int freedom = Math.Max(1, (end - first) * (frames - 1) - unknowns);
            for (int strip = 0; strip < strips; strip++)
            {
                if (mean[strip] < Darkest) continue;
                Vector<double> given = Vector<double>.Build.Dense(unknowns, k => right[strip, k]);
                Vector<double> found = inverse * given;
                double variance = Math.Max(0, energy[strip] - found * given) / freedom;
                for (int k = 0; k < tones.Count; k++)
                {
                    double cosine = found[2 * k], sine = found[2 * k + 1], amplitude = double.Hypot(cosine, sine);
                    double deviation = Math.Sqrt(variance * (inverse[2 * k, 2 * k] + inverse[2 * k + 1, 2 * k + 1]) / 2);
                    if (amplitude < Math.Max(Steady, Deviations * deviation)) continue;
                    maps[k].Amplitude[cellRow * strips + strip] = (float)amplitude;
                    maps[k].PhaseRadians[cellRow * strips + strip] = (float)Math.Atan2(-sine, cosine);
                }
            }
        }
        foreach (ToneMap map in maps) map.DropSpecks();
        return maps;
    }

    /// <summary>Empties cells that fewer than two neighbours agree with in phase: light covers areas, what noise invents stands alone.</summary>
    private void DropSpecks()
    {
        float[] before = [.. Amplitude];
        for (int cell = 0; cell < before.Length; cell++)
        {
            if (!float.IsFinite(before[cell])) continue;
            int column = cell % Columns, row = cell / Columns, agreeing = 0;
            for (int r = Math.Max(0, row - 1); r <= Math.Min(Rows - 1, row + 1); r++)
            {
                for (int c = Math.Max(0, column - 1); c <= Math.Min(Columns - 1, column + 1); c++)
                {
                    int other = r * Columns + c;
                    if (other != cell && float.IsFinite(before[other]) && MathF.Cos(PhaseRadians[other] - PhaseRadians[cell]) > 0.7f) agreeing++;
                }
            }
            if (agreeing < 2) Amplitude[cell] = float.NaN;
        }
    }

    private static float[] Empty(int cells)
    {
        float[] empty = new float[cells];
        Array.Fill(empty, float.NaN);
        return empty;
    }

    /// <summary>Cosine and sine of each tone at a row's moments, each about its mean over the frames.</summary>
    private static void Waves(StripLight light, IReadOnlyList<MapTone> tones, int row, double[] wave)
    {
        int frames = light.Light.Length, unknowns = 2 * tones.Count;
        double later = light.SecondFieldSeconds != 0 && (row & 1) == light.SecondFieldParity ? light.SecondFieldSeconds : 0;
        for (int k = 0; k < tones.Count; k++)
        {
            double meanCosine = 0, meanSine = 0;
            for (int n = 0; n < frames; n++)
            {
                (double sine, double cosine) = Math.SinCos(2 * Math.PI * (tones[k].AliasHz * (light.Seconds[n] + later) + tones[k].BandsPerHeight * row / light.Rows));
                wave[n * unknowns + 2 * k] = cosine;
                wave[n * unknowns + 2 * k + 1] = sine;
                meanCosine += cosine / frames;
                meanSine += sine / frames;
            }
            for (int n = 0; n < frames; n++)
            {
                wave[n * unknowns + 2 * k] -= meanCosine;
                wave[n * unknowns + 2 * k + 1] -= meanSine;
            }
        }
    }

    /// <summary>Adds a row of a strip to the sums of its cell.</summary>
    /// <returns>Mean light of the row over time.</returns>
    private static double AddStrip(StripLight light, int row, int strip, double[] wave, int unknowns, double[,] right, ref double energy)
    {
        int frames = light.Light.Length, at = row * light.Strips + strip;
        double mean = 0;
        for (int n = 0; n < frames; n++) mean += light.Light[n][at] / frames;
        if (mean <= 0) return 0;
        for (int n = 0; n < frames; n++)
        {
            double change = light.Light[n][at] / mean - 1;
            energy += change * change;
            for (int k = 0; k < unknowns; k++) right[strip, k] += change * wave[n * unknowns + k];
        }
        return mean;
    }

    /// <summary>The inverse; null when the tones can't be told apart in these frames.</summary>
    private static Matrix<double>? Inverse(Matrix<double> normal)
    {
        double condition = normal.ConditionNumber();
        return double.IsFinite(condition) && condition < 1e8 ? normal.Inverse() : null;
    }
}
