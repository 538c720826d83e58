using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>Whether each frame holds part of the frames before: converters of frame rates and noise reduction mix frames, and what moves fast from frame to frame fades.</summary>
/// <remarks>
/// A sensor's noise is new in every frame, so its power is the same at every pace, up to half the frame rate. Mixing frames (whether with the one before, with
/// several, or with all before) is a filter over time, and takes away from the fast end or cuts notches into it. Lines of tones, things that move in some rows
/// and slow change must not count: the power is the median over the rows' bins, each row over its own power, after what neighbouring rows share is taken away, and
/// bins that stand out in most rows, as what the tones leave of a pulse train does, aside.
/// Encoders that predict frames from each other weaken fast noise themselves. With many bits a strong fade counts as mixing (whoever did it, flicker as fine as
/// the noise faded with it). With few the noise can't tell who did it, nor how far flicker faded too: the figures stay, but such a take vouches for nothing.
/// </remarks>
internal sealed class FrameMixing
{
    /// <summary>Power of the weakest pace over that of the strongest, below which frames are taken for mixed: shares of a sixth and more; where an encoder predicted frames, of a fifth.</summary>
    private const double Plain = 0.6, PlainPredicted = 0.5;

    /// <summary>Power of the fast paces over that of the slow ones, below which noise that an encoder predicted has faded. Chosen from rendered clips, the project's own; no
    /// published source: of 21 that passed rightly 20 kept more than 0.85; of 14 whose frames were mixed and that passed before this was asked, 12 fell under 0.8.</summary>
    private const double Faded = 0.8;

    /// <summary>How many deviations of chance a fade must exceed.</summary>
    private const double BeyondChance = 3;

    /// <summary>Share of the bins within a pace that are calm whatever the tones leave; over how many times their power a bin stands out, and over how many times it takes its neighbours with it.</summary>
    private const double CalmShare = 0.25, StandsOut = 4, StandsOutFar = 10;

    /// <summary>Neighbours that the window and a tone that is not quite steady lift with a bin.</summary>
    private const int Skirt = 2;

    /// <summary>Relative standard deviation of a pace's power, times the root of how many values it is the median of: 1.44 for the median of a row's bins, 1.25 for that over the rows,
    /// and what the window makes neighbouring bins share.</summary>
    private const double Scatter = 2.2;

    /// <summary>Noise changes nearly always and in every row; levels that step now and then (a ramp in whole codes) do not: median over root mean square of the change, 0.67 for noise.</summary>
    private const double LeastLiveliness = 0.3;

    /// <summary>More frames than the first of these tell nothing more, and long recordings would take seconds.</summary>
    private const int FewestTicks = 24, MostTicks = 4096;

    private const int MostRows = 128, Paces = 6;

    /// <summary>From an eighth of the frame rate up: slower change has other causes.</summary>
    private const double SlowestPace = 0.125, FastestPace = 0.5;

    /// <summary>Power of the fade that allows for what the noise's own power is known to.</summary>
    private const double Allowing = 1.25;

    /// <summary>A fade to less than this share is as good as gone.</summary>
    private const double Gone = 0.05;

    private readonly double[] _relative;
    private readonly double _mixed, _kept;

    private FrameMixing(double[] powers, bool mayBeTheEncoders, bool isPlain)
    {
        MayBeTheEncoders = mayBeTheEncoders;
        IsPlain = isPlain;
        double most = powers.Max();
        _relative = [.. powers.Select(p => p / most)];
        // Each frame holding a share b of the one before leaves the power 1 − 2 b (1 − b) (1 − cos 2πx) at the pace x: b (1 − b) from the slowest and the fastest pace.
        double ratio = powers[^1] / powers[0], slow = 1 - Cos(2 * PI * Middle(0)), fast = 1 - Cos(2 * PI * Middle(Paces - 1));
        _mixed = Clamp((1 - ratio) / (2 * (fast - ratio * slow)), 0, 0.25);
        // Each frame keeping a share s of the mixture before leaves (1 − s)² / (1 + s² − 2 s cos 2πx): s from the same two paces.
        double low = 0, high = 0.999;
        while (high - low > 1e-4)
        {
            double middle = (low + high) / 2;
            if (KeptPower(middle, Middle(Paces - 1)) > ratio * KeptPower(middle, Middle(0))) low = middle;
            else high = middle;
        }
        _kept = low;
    }

    private static double KeptPower(double share, double pace) => (1 - share) * (1 - share) / (1 + share * share - 2 * share * Cos(2 * PI * pace));

    /// <summary>The share of a tone's amplitude that the mixing left at least, 0…1: the least of what became of the noise at its pace and of what a share of the frame
    /// before, or of all before, makes of it.</summary>
    /// <param name="cyclesPerTick">The tone's alias in cycles per frame.</param>
    public double Left(double cyclesPerTick)
    {
        double pace = Abs(ToneSearch.Wrap(cyclesPerTick));
        double asNoise = pace < SlowestPace ? 1 : _relative[Min(Paces - 1, (int)((pace - SlowestPace) / (FastestPace - SlowestPace) * Paces))];
        return Max(Gone, Pow(Min(Min(asNoise, KeptPower(_kept, pace)), Max(0, 1 - 2 * _mixed * (1 - Cos(2 * PI * pace)))), Allowing / 2));
    }

    /// <summary>Whether an encoder that predicts frames may have done it, and not the camera: the noise alone doesn't tell.</summary>
    public bool MayBeTheEncoders { get; }

    /// <summary>Whether the noise tells how far flicker faded with it; otherwise it only fails to vouch that it did not.</summary>
    public bool IsPlain { get; }

    /// <summary>The least share left at any pace.</summary>
    public double LeastLeft => Enumerable.Range(0, Paces).Min(p => Left(Middle(p)));

    private static double Middle(int pace) => SlowestPace + (pace + 0.5) / Paces * (FastestPace - SlowestPace);

    /// <summary>What the noise that a fit leaves shows of mixed frames; null where it shows none, or the recording can't tell.</summary>
    /// <param name="matrix">The take.</param>
    /// <param name="residual">What the tones leave, ticks × lines.</param>
    /// <param name="loss">What the encoder may have done.</param>
    public static FrameMixing? Of(LightMatrix matrix, float[] residual, CompressionLoss loss)
    {
        // Fields see other rows in turn: only every other one shows the same noise again.
        int stride = matrix.Parities, frames = matrix.Ticks / stride;
        if (frames < FewestTicks || matrix.Lines < 3) return null;
        var liveliness = new List<double>();
        double[] window = PlaneSpectrum.Hann(Min(frames, MostTicks));
        int step = Max(1, (matrix.Lines - 2) / MostRows);
        double[][] rows = Rough(matrix, residual, [.. Enumerable.Range(0, (matrix.Lines - 3) / step + 1).Select(i => 1 + i * step)], window.Length, stride);
        var spectra = new List<double[]>();
        foreach ((double? lively, double[] bins) in rows.AsParallel().AsOrdered().Select(row => (Liveliness(row, matrix, stride), OverItsOwn(row, window))))
        {
            if (lively is null) continue;
            liveliness.Add(lively.Value);
            if (bins.Length > 0) spectra.Add(bins);
        }
        if (spectra.Count == 0 || Order.Median([.. liveliness]) < LeastLiveliness) return null;
        double[] bySpectrum = [.. Enumerable.Range(0, spectra[0].Length).AsParallel().AsOrdered().Select(k => Order.Median([.. spectra.Select(bins => bins[k])]))];
        bool[] calm = Calm(bySpectrum);
        double[][] byPace = [.. spectra.Select(bins => ByPace(bins, calm, window.Length))];
        double[] powers = [.. Enumerable.Range(0, Paces).Select(p => Order.Median([.. byPace.Select(row => row[p])]))];
        double chance = BeyondChance * Scatter / Sqrt(spectra.Count * BinsPerPace(window.Length));
        bool isStrong = powers.Min() < Min(loss.IsLossy ? PlainPredicted : Plain, (1 - chance) / (1 + chance)) * powers.Max();
        // Frames that were mixed before they became fields fade by other paces than the fields of one kind show.
        bool isPlain = isStrong && loss.KeepsNoise && stride == 1;
        bool isFaded = loss.IsLossy ? powers[^2..].Sum() < Min(Faded, 1 - chance) * powers[..2].Sum() : isStrong;
        return isPlain || isFaded ? new FrameMixing(powers, loss.IsLossy, isPlain) : null;
    }

    /// <summary>What rows do that their neighbours do not, over time: frame after frame as they lie in memory.</summary>
    private static double[][] Rough(LightMatrix matrix, float[] residual, int[] at, int frames, int stride)
    {
        double[][] rows = [.. at.Select(_ => new double[frames])];
        for (int n = 0; n < frames; n++)
        {
            if (!matrix.Present[n * stride]) continue;
            ReadOnlySpan<float> lines = residual.AsSpan(n * stride * matrix.Lines, matrix.Lines);
            for (int i = 0; i < at.Length; i++) rows[i][n] = lines[at[i]] - 0.5 * (lines[at[i] - 1] + lines[at[i] + 1]);
        }
        return rows;
    }

    /// <summary>Median over root mean square of a row's change; null for one that never changes.</summary>
    private static double? Liveliness(double[] row, LightMatrix matrix, int stride)
    {
        var steps = new List<double>(row.Length);
        for (int n = 1; n < row.Length; n++)
            if (matrix.Present[n * stride] && matrix.Present[(n - 1) * stride]) steps.Add(Abs(row[n] - row[n - 1]));
        double square = steps.Sum(s => s * s);
        return square > 0 ? Order.Median([.. steps]) / Sqrt(square / steps.Count) : null;
    }

    private static double BinsPerPace(int ticks) => (FastestPace - SlowestPace) * ticks / Paces;

    /// <summary>Which bins do not stand out of those a pace about them: mixing changes the power from pace to pace, tones from bin to bin.</summary>
    private static bool[] Calm(double[] bins)
    {
        int reach = bins.Length / Paces;
        double[] about = [.. Enumerable.Range(0, bins.Length).Select(k => Order.Quantile(Near(bins, k, reach), CalmShare))];
        return [.. Enumerable.Range(0, bins.Length).Select(k => bins[k] <= StandsOut * about[k] && !Near(bins, k, Skirt).ContainsAnyExceptInRange(0, StandsOutFar * about[k]))];
    }

    private static ReadOnlySpan<double> Near(double[] bins, int at, int reach) => bins.AsSpan(Max(0, at - reach)..Min(bins.Length, at + reach + 1));

    /// <summary>Median power of each pace's calm bins over that of the whole row; a pace that has none counts as the others do.</summary>
    private static double[] ByPace(double[] bins, bool[] calm, int ticks)
    {
        double?[] paces = [.. Enumerable.Range(0, Paces).Select(p => OfPace(p, ticks)).Select(pace => bins[pace].Zip(calm[pace]).Where(b => b.Second).Select(b => b.First).ToArray())
            .Select(left => left.Length > 0 ? Order.Median(left) : (double?)null)];
        double whole = paces.Average() ?? 1;
        return [.. paces.Select(p => (p ?? whole) / whole)];
    }

    /// <summary>The bins of a pace, counted from the slowest pace's first.</summary>
    private static Range OfPace(int pace, int ticks)
    {
        double width = BinsPerPace(ticks);
        int slowest = (int)(SlowestPace * ticks), first = (int)(SlowestPace * ticks + pace * width) - slowest;
        return first..Max(first + 1, (int)(SlowestPace * ticks + (pace + 1) * width) - slowest);
    }

    /// <summary>Power in each bin from the slowest pace up, over the row's own; none where there is no power.</summary>
    private static double[] OverItsOwn(double[] row, double[] window)
    {
        var samples = new Complex[row.Length];
        for (int n = 0; n < row.Length; n++) samples[n] = row[n] * window[n];
        Fourier.Forward(samples, FourierOptions.NoScaling);
        int from = (int)(SlowestPace * row.Length), count = OfPace(Paces - 1, row.Length).End.Value;
        double[] bins = [.. samples.AsSpan(from, count).ToArray().Select(z => z.Real * z.Real + z.Imaginary * z.Imaginary)];
        double whole = Enumerable.Range(0, Paces).Average(p => Order.Median(bins[OfPace(p, row.Length)]));
        return whole > 0 ? [.. bins.Select(b => b / whole)] : [];
    }
}
