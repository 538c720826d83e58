using static System.Math;

namespace FlickerProbe.Footage;

/// <summary>Cuts a level trace into pieces, each a straight line plus beats of given frequencies with an amplitude of its own.</summary>
/// <remarks>
/// Optimal partitioning: the cut with the smallest sum of squared residuals plus a penalty for each piece, found exactly by dynamic
/// programming with pruning. Jackson et al., IEEE Signal Processing Letters 12(2), 105–108, 2005; pruning: Killick, Fearnhead and Eckley,
/// Journal of the American Statistical Association 107(500), 1590–1598, 2012.
/// </remarks>
internal sealed class LevelStepsPartition
{
    private readonly int _terms;
    private readonly int _count;
    private readonly double[] _ridge;
    private readonly double[][] _products; // prefix sums of regressor × regressor, packed lower triangle
    private readonly double[][] _withTrace; // prefix sums of regressor × trace
    private readonly double[] _squares; // prefix sums of trace²

    internal LevelStepsPartition(double[] trace, IReadOnlyList<LevelStepsBeats.Beat> beats, double noise)
    {
        _count = trace.Length;
        _terms = 2 + 2 * beats.Count;
        // What the beat's amplitude may be is known beforehand; without this a piece shorter than half a beat could take any level.
        _ridge = [0, 0, .. beats.SelectMany(b => Enumerable.Repeat(Pow(noise / Max(b.Amplitude, 1e-6), 2), 2))];
        _products = NewSums(_terms * (_terms + 1) / 2);
        _withTrace = NewSums(_terms);
        _squares = new double[_count + 1];
        double[] row = new double[_terms];
        for (int i = 0; i < _count; i++)
        {
            FillRow(row, i, beats);
            for (int a = 0, packed = 0; a < _terms; a++)
            {
                for (int b = 0; b <= a; b++, packed++) _products[packed][i + 1] = _products[packed][i] + row[a] * row[b];
                _withTrace[a][i + 1] = _withTrace[a][i] + row[a] * trace[i];
            }
            _squares[i + 1] = _squares[i] + trace[i] * trace[i];
        }
    }

    /// <summary>One piece: samples [First, End), the line's value at its middle, its slope per sample, and the slope's standard deviation for unit noise.</summary>
    internal readonly record struct Piece(int First, int End, double Middle, double Slope, double SlopePerNoise, double Squares);

    /// <summary>The best cut under a penalty for each piece, in the unit of squared residuals.</summary>
    internal List<Piece> Cut(double penalty, int shortest)
    {
        double[] best = new double[_count + 1];
        int[] from = new int[_count + 1];
        Array.Fill(best, double.PositiveInfinity);
        best[0] = -penalty;
        var starts = new List<int> { 0 };
        double[] scratch = new double[_terms * _terms + _terms];
        double[] costs = new double[_count + 1];
        for (int end = shortest; end <= _count; end++)
        {
            int newest = end - shortest;
            if (newest > 0 && double.IsFinite(best[newest])) starts.Add(newest);
            foreach (int start in starts)
            {
                costs[start] = Squares(start, end, scratch);
                double total = best[start] + costs[start] + penalty;
                if (total < best[end]) (best[end], from[end]) = (total, start);
            }
            // A start that is behind by more than one penalty now can never lead again.
            starts.RemoveAll(start => best[start] + costs[start] > best[end]);
        }
        var pieces = new List<Piece>();
        for (int end = _count; end > 0; end = from[end]) pieces.Add(Describe(from[end], end, scratch));
        pieces.Reverse();
        return pieces;
    }

    private Piece Describe(int start, int end, double[] scratch)
    {
        double squares = Squares(start, end, scratch);
        double intercept = scratch[_terms * _terms], slope = scratch[_terms * _terms + 1];
        double middle = intercept + slope * Abscissa((start + end - 1) / 2.0);
        // The slope's variance is bounded below by that of a plain line; enough to judge whether a slope means anything.
        double length = end - start;
        double perNoise = Sqrt(12 / (length * (length * length - 1) + 1e-9));
        return new Piece(start, end, middle, slope / _count, perNoise, squares);
    }

    // Sum of squared residuals of the ridge fit on [start, end); the coefficients stay behind the matrix in scratch.
    // Written out because it runs some 10⁵ times on matrices of at most 8 × 8, where a library's set-up costs more than the work.
    private double Squares(int start, int end, double[] scratch)
    {
        int n = _terms, at = n * n;
        for (int a = 0, packed = 0; a < n; a++)
        {
            for (int b = 0; b <= a; b++, packed++) scratch[a * n + b] = _products[packed][end] - _products[packed][start];
            scratch[a * n + a] += _ridge[a] + 1e-12;
            scratch[at + a] = _withTrace[a][end] - _withTrace[a][start];
        }
        double explained = 0;
        for (int a = 0; a < n; a++) // Cholesky, lower triangle in place, with the forward substitution
        {
            for (int b = 0; b <= a; b++)
            {
                double sum = scratch[a * n + b];
                for (int k = 0; k < b; k++) sum -= scratch[a * n + k] * scratch[b * n + k];
                scratch[a * n + b] = a == b ? Sqrt(Max(sum, 1e-13)) : sum / scratch[b * n + b];
            }
            double right = scratch[at + a];
            for (int k = 0; k < a; k++) right -= scratch[a * n + k] * scratch[at + k];
            scratch[at + a] = right / scratch[a * n + a];
            explained += scratch[at + a] * scratch[at + a];
        }
        for (int a = n - 1; a >= 0; a--)
        {
            for (int k = a + 1; k < n; k++) scratch[at + a] -= scratch[k * n + a] * scratch[at + k];
            scratch[at + a] /= scratch[a * n + a];
        }
        return Max(0, _squares[end] - _squares[start] - explained);
    }

    private double Abscissa(double sample) => sample / _count;

    private void FillRow(double[] row, int sample, IReadOnlyList<LevelStepsBeats.Beat> beats)
    {
        row[0] = 1;
        row[1] = Abscissa(sample);
        for (int b = 0; b < beats.Count; b++)
        {
            (double sine, double cosine) = SinCos(beats[b].RadiansPerSample * sample);
            row[2 + 2 * b] = cosine;
            row[3 + 2 * b] = sine;
        }
    }

    private double[][] NewSums(int howMany) => [.. Enumerable.Range(0, howMany).Select(_ => new double[_count + 1])];
}
