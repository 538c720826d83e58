using MathNet.Numerics.LinearAlgebra;
using static System.Math;
using Complex = System.Numerics.Complex;

namespace FlickerProbe.Measurement;

/// <summary>Joint least squares of all tones and the slow level drift, model and data put through the same removal of each line's time mean.</summary>
/// <remarks>
/// <para>Light on a line is S·(1 + w); the matrix holds (1 + w)/(1 + w̄) − 1 with w̄ the line's own time mean of w, known from the tones of
/// the step before. So (1 + w̄)·data = w − w̄ exactly, and cosines centred per line are fitted to it. This keeps nearly locked bands,
/// which a windowed spectrum of the same data destroys.</para>
/// <para>Amplitudes are solved with the frequencies' steps in one Gauss–Newton system: Golub &amp; Pereyra, "The differentiation of
/// pseudo-inverses and nonlinear least squares problems whose variables separate", SIAM J. Numer. Anal. 10 (1973).
/// All sums over the plane separate into a sum over ticks times a sum over lines.</para>
/// </remarks>
internal sealed class ToneFit
{
    private readonly LightMatrix _matrix;
    private readonly double[] _lineWeights;
    private readonly double[][] _drift; // centred basis [order][tick]
    private readonly double _tickCentre, _lineCentre;
    private readonly int[] _parityCount;
    private Explained _left = new([], [], []);
    private float[]? _residual;

    private ToneFit(LightMatrix matrix, double[] lineWeights, int driftOrders)
    {
        _matrix = matrix;
        _lineWeights = lineWeights;
        _tickCentre = (matrix.Ticks - 1) / 2.0;
        _lineCentre = (matrix.Lines - 1) / 2.0;
        _parityCount = new int[matrix.Parities];
        for (int n = 0; n < matrix.Ticks; n++)
        {
            if (matrix.Present[n]) _parityCount[matrix.ParityOf(n)]++;
        }
        _drift = new double[Min(driftOrders, Max(0, matrix.Count / 8))][];
        for (int j = 0; j < _drift.Length; j++)
        {
            _drift[j] = new double[matrix.Ticks];
            for (int n = 0; n < matrix.Ticks; n++) _drift[j][n] = matrix.Present[n] ? Cos(PI * (j + 1) * (n + 0.5) / matrix.Ticks) : 0;
            Centre(_drift[j]);
        }
    }

    /// <summary>The fitted tones with deviations, in the order given.</summary>
    public PlaneTone[] Tones { get; private set; } = [];

    /// <summary>Slow level change of each tick, relative; fitted beside the tones.</summary>
    public double[] Drift { get; private set; } = [];

    /// <summary>What no tone and no drift explains: (1 + w̄)·data − model, ticks × lines.</summary>
    /// <remarks>Worked out when first asked for: most fits are only tried, and a plane for each would be more memory than all else.</remarks>
    public float[] Residual => _residual ??= Left();

    /// <summary>Weighted standard deviation of the residual of one cell.</summary>
    public double Sigma { get; private set; }

    /// <summary>The same of the data as they are, before the lines' modelled time means were taken out of them: what fits with different means are compared by.</summary>
    public double Misfit { get; private set; }

    /// <summary>Time mean of the modelled flicker on each line [parity][line]; not 0 for bands that hardly move.</summary>
    public double[][] MeanFlicker { get; private set; } = [];

    /// <summary>A fit tells two tones apart from this many cells of the plane on, and reads one from this many cycles in the clip on.</summary>
    private const double LeastCellsApart = 0.6, LeastCycles = 0.5;

    /// <summary>Cycles that a tone's beat makes in the clip.</summary>
    public static double Cycles(PlaneTone tone, LightMatrix matrix) => Abs(ToneSearch.Wrap(tone.X)) * matrix.Ticks;

    /// <summary>Whether a tone moves enough to be told from what stands still.</summary>
    public static bool Moves(PlaneTone tone, LightMatrix matrix) => Cycles(tone, matrix) > LeastCycles;

    /// <summary>Whether two tones, tied or not, lie far enough apart for their amplitudes to be solved together.</summary>
    public static bool CanTellApart(PlaneTone one, PlaneTone other, LightMatrix matrix) => ToneSearch.CellsApart(matrix, one, other) > LeastCellsApart;

    /// <summary>Fits.</summary>
    /// <param name="matrix">The data.</param>
    /// <param name="lineWeights">Weight of each line, inverse variance up to a common factor, mean 1.</param>
    /// <param name="seeds">Tones to start from; a zero amplitude means "position only".</param>
    /// <param name="driftOrders">How many slow cosines of common level to fit beside.</param>
    /// <param name="steps">Gauss–Newton steps at most; fewer when the tones have come to rest.</param>
    public static ToneFit Of(LightMatrix matrix, double[] lineWeights, IReadOnlyList<PlaneTone> seeds, int driftOrders, int steps)
    {
        var fit = new ToneFit(matrix, lineWeights, driftOrders) { Tones = [.. seeds] };
        if (seeds.Any(t => t.Z == Complex.Zero)) fit.Step(moveFrequencies: false);
        for (int i = 0; i < steps; i++)
        {
            PlaneTone[] before = fit.Tones;
            fit.Step(moveFrequencies: true);
            if (fit.IsSettled(before)) break;
        }
        fit.Finish();
        return fit;
    }

    // At rest: no tone has moved by more than a ten-thousandth of a cell or of the strongest amplitude.
    private bool IsSettled(PlaneTone[] before)
    {
        double strongest = Tones.Length == 0 ? 0 : Tones.Max(t => t.Amplitude);
        for (int k = 0; k < Tones.Length; k++)
        {
            if (Abs(Tones[k].X - before[k].X) * _matrix.Ticks > 1e-4 || Abs(Tones[k].Nu - before[k].Nu) * _matrix.Lines > 1e-4
                || (Tones[k].Z - before[k].Z).Magnitude > 1e-4 * strongest) return false;
        }
        return true;
    }

    /// <summary>The same fit with something else known of its tones, which stay where they are.</summary>
    public ToneFit With(PlaneTone[] tones)
    {
        var fit = (ToneFit)MemberwiseClone();
        fit.Tones = tones;
        return fit;
    }

    private sealed record Vectors(Complex[][] Ticks, Complex[][] TicksMoment, Complex[][] Lines, Complex[][] LinesMoment, Complex[][] Mean);

    private Vectors Build()
    {
        int count = Tones.Length;
        var ticks = new Complex[count][];
        var moment = new Complex[count][];
        var lines = new Complex[count][];
        var linesMoment = new Complex[count][];
        var mean = new Complex[count][];
        Parallel.For(0, count, k =>
        {
            (double x, double nu) = (Tones[k].X, Tones[k].Nu);
            ticks[k] = new Complex[_matrix.Ticks];
            moment[k] = new Complex[_matrix.Ticks];
            for (int n = 0; n < _matrix.Ticks; n++)
            {
                if (!_matrix.Present[n]) continue;
                ticks[k][n] = Complex.FromPolarCoordinates(1, 2 * PI * (x * (n - _tickCentre) + nu * _matrix.LineOffset(n)));
                moment[k][n] = ticks[k][n] * (n - _tickCentre);
            }
            mean[k] = Centre(ticks[k]);
            Centre(moment[k]);
            lines[k] = new Complex[_matrix.Lines];
            linesMoment[k] = new Complex[_matrix.Lines];
            for (int r = 0; r < _matrix.Lines; r++)
            {
                lines[k][r] = Complex.FromPolarCoordinates(1, 2 * PI * nu * (r - _lineCentre));
                linesMoment[k][r] = lines[k][r] * (r - _lineCentre);
            }
        });
        return new Vectors(ticks, moment, lines, linesMoment, mean);
    }

    private double[][] LineMeans(Vectors v)
    {
        double[][] means = new double[_matrix.Parities][];
        for (int p = 0; p < means.Length; p++)
        {
            means[p] = new double[_matrix.Lines];
            for (int k = 0; k < Tones.Length; k++)
            {
                Complex z = Tones[k].Z * v.Mean[k][p];
                for (int r = 0; r < _matrix.Lines; r++) means[p][r] += z.Real * v.Lines[k][r].Real - z.Imaginary * v.Lines[k][r].Imaginary;
            }
            // A fit gone astray must not turn the light of a line negative.
            for (int r = 0; r < _matrix.Lines; r++) means[p][r] = Clamp(means[p][r], -0.9, 9);
        }
        return means;
    }

    private void Step(bool moveFrequencies)
    {
        Vectors v = Build();
        int tones = Tones.Length, perTone = moveFrequencies ? 4 : 2, size = tones * perTone + _drift.Length;
        if (size == 0) return;
        double[] right = DataProducts(v, LineMeans(v), perTone);
        double[,] normal = NormalMatrix(v, perTone);
        Ties ties = TiesOf(perTone);
        double[] solution = ties.Expand(Solve(ties.Reduce(normal), ties.Reduce(right)));
        var next = new PlaneTone[tones];
        for (int k = 0; k < tones; k++)
        {
            var z = new Complex(solution[k * perTone], solution[k * perTone + 1]);
            double dx = moveFrequencies ? Clamp(solution[k * perTone + 2], -0.5 / _matrix.Ticks, 0.5 / _matrix.Ticks) : 0;
            double dnu = moveFrequencies ? Clamp(solution[k * perTone + 3], -0.5 / _matrix.Lines, 0.5 / _matrix.Lines) : 0;
            if (!double.IsFinite(z.Real) || !double.IsFinite(z.Imaginary) || !double.IsFinite(dx) || !double.IsFinite(dnu)) return;
            next[k] = Tones[k] with { X = Tones[k].X + dx, Nu = Tones[k].Nu + dnu, Z = z };
        }
        // Overtones stay at whole multiples even when their fundamental's step was cut.
        for (int k = 0; k < tones; k++)
        {
            if (next[k].TiedTo is var f and >= 0)
            {
                double moved = (next[f].X - Tones[f].X) * next[k].Multiple, movedNu = (next[f].Nu - Tones[f].Nu) * next[k].Multiple;
                if (next[k].AlsoTiedTo is var also and >= 0)
                {
                    moved += (next[also].X - Tones[also].X) * next[k].AlsoMultiple;
                    movedNu += (next[also].Nu - Tones[also].Nu) * next[k].AlsoMultiple;
                }
                next[k] = next[k] with { X = Tones[k].X + moved, Nu = Tones[k].Nu + movedNu };
            }
        }
        Tones = next;
        Drift = DriftOf(solution, tones * perTone);
    }

    private void Finish()
    {
        Vectors v = Build();
        double[][] means = LineMeans(v);
        MeanFlicker = means;
        int tones = Tones.Length;
        if (Drift.Length == 0) Drift = new double[_matrix.Ticks];
        _left = new Explained(
            [.. v.Ticks.Select((ticks, k) => ticks.Select(t => Tones[k].Z * t).ToArray())],
            [.. v.Lines.Select(l => l.Select(c => (float)c.Real).ToArray())], [.. v.Lines.Select(l => l.Select(c => (float)c.Imaginary).ToArray())]);
        int lines = _matrix.Lines;
        float[] weights = [.. _lineWeights.Select(w => (float)w)];
        double[] squares = new double[_matrix.Ticks], ofData = new double[_matrix.Ticks];
        // A fit that darkens lines would otherwise shrink what it leaves there.
        float[][] dataWeights = [.. means.Select(m => m.Select((mean, r) => (float)(_lineWeights[r] / ((1 + mean) * (1 + mean)))).ToArray())];
        Parallel.For(0, _matrix.Ticks, () => new float[lines], (n, _, row) =>
        {
            if (!_matrix.Present[n]) return row;
            Left(n, row);
            squares[n] = RowKernel.WeightedSquares(row, weights);
            ofData[n] = RowKernel.WeightedSquares(row, dataWeights[_matrix.ParityOf(n)]);
            return row;
        }, _ => { });
        double sum = squares.Sum();
        double freedom = Max(1.0, (double)(_matrix.Count - _matrix.Parities) * lines - 4 * tones - _drift.Length);
        Sigma = Sqrt(sum / freedom);
        Misfit = Sqrt(ofData.Sum() / freedom);
        Deviations(v);
    }

    private float[] Left()
    {
        float[] plane = new float[_matrix.Relative.Length];
        Parallel.For(0, _matrix.Ticks, n =>
        {
            if (_matrix.Present[n]) Left(n, plane.AsSpan(n * _matrix.Lines, _matrix.Lines));
        });
        return plane;
    }

    // What is left of one tick: its data with the lines' means in, less drift and tones.
    private void Left(int tick, Span<float> row)
    {
        ReadOnlySpan<float> data = _matrix.Relative.AsSpan(tick * row.Length, row.Length);
        double[] mean = MeanFlicker[_matrix.ParityOf(tick)];
        float drift = (float)Drift[tick];
        for (int r = 0; r < row.Length; r++) row[r] = data[r] * (float)(1 + mean[r]) - drift;
        for (int k = 0; k < _left.Ticks.Length; k++)
        {
            Complex c = _left.Ticks[k][tick];
            RowKernel.AddScaled(row, (float)-c.Real, _left.Re[k], (float)c.Imaginary, _left.Im[k]);
        }
    }

    /// <summary>The tones as they were fitted: their amplitude times their phase in each tick, and their phase along the lines.</summary>
    private sealed record Explained(Complex[][] Ticks, float[][] Re, float[][] Im);

    private void Deviations(Vectors v)
    {
        if (Tones.Length == 0) return;
        Ties ties = TiesOf(4);
        Matrix<double> free = Inverse(ties.Reduce(NormalMatrix(v, 4)));
        for (int k = 0; k < Tones.Length; k++)
        {
            (double amplitude, double x, double nu) = DeviationsOf(Tones[k], k, ties, free);
            Tones[k] = Tones[k] with { AmplitudeDeviation = Sigma * amplitude, XDeviation = Sigma * x, NuDeviation = Sigma * nu };
        }
    }

    /// <summary>The same fit, its tones as doubtful as others make them that were not seen and may be there.</summary>
    /// <remarks>What is left out of a fit pulls what is in it: parameters that are considered and not solved for. Schmidt, "Application of state-space
    /// methods to navigation problems", Advances in Control Systems 3 (1966), from memory. What the data themselves rule out of an unseen one counts less.</remarks>
    /// <param name="unseen">Tied to tones of the fit, with the standard deviation that either part of their complex amplitude may have.</param>
    /// <param name="statedDeviations">So many deviations of its own an unseen one may reach before it would have been seen.</param>
    public ToneFit Beside(IReadOnlyList<(PlaneTone Tone, double Deviation)> unseen, double statedDeviations)
    {
        if (unseen.Count == 0) return this;
        var all = new ToneFit(_matrix, _lineWeights, _drift.Length) { Tones = [.. Tones, .. unseen.Select(u => u.Tone)] };
        Ties ties = all.TiesOf(4);
        Matrix<double> normal = ties.Reduce(all.NormalMatrix(all.Build(), 4));
        int[] considered = [.. Enumerable.Range(Tones.Length, unseen.Count).SelectMany(k => new[] { ties.Rows[4 * k][0].Free, ties.Rows[4 * k + 1][0].Free })];
        int[] solved = [.. Enumerable.Range(0, ties.Count).Except(considered)];
        Matrix<double> Part(int[] rows, int[] columns) => Matrix<double>.Build.Dense(rows.Length, columns.Length, (i, j) => normal[rows[i], columns[j]]);
        Matrix<double> cross = Part(solved, considered), pull = Inverse(Part(solved, solved)) * cross;
        Matrix<double> told = (Part(considered, considered) - cross.TransposeThisAndMultiply(pull)) / (statedDeviations * statedDeviations * Sigma * Sigma);
        // (1/d² + told)⁻¹, written so that one that can't be there at all, d = 0, is no division by nothing.
        Matrix<double> deviations = Matrix<double>.Build.DiagonalOfDiagonalArray([.. unseen.SelectMany(u => new[] { u.Deviation, u.Deviation })]);
        Matrix<double> open = deviations * (Matrix<double>.Build.DenseIdentity(considered.Length) + deviations * told * deviations).Inverse() * deviations;
        Matrix<double> pulled = pull * open * pull.Transpose(), free = Matrix<double>.Build.Dense(ties.Count, ties.Count);
        for (int i = 0; i < solved.Length; i++)
        {
            for (int j = 0; j < solved.Length; j++) free[solved[i], solved[j]] = pulled[i, j];
        }
        return With([.. Tones.Select((tone, k) =>
        {
            (double amplitude, double x, double nu) = DeviationsOf(tone, k, ties, free);
            return tone with
            {
                OvertoneDeviation = amplitude,
                XDeviation = double.Hypot(tone.XDeviation, x),
                NuDeviation = double.Hypot(tone.NuDeviation, nu),
            };
        })]);
    }

    private static (double Amplitude, double X, double Nu) DeviationsOf(PlaneTone tone, int k, Ties ties, Matrix<double> free)
    {
        double amplitude = Max(tone.Z.Magnitude, 1e-12);
        (double c, double s) = (tone.Z.Real / amplitude, tone.Z.Imaginary / amplitude);
        double Covariance(int i, int j) => ties.Covariance(free, 4 * k + i, 4 * k + j);
        double variance = c * c * Covariance(0, 0) + s * s * Covariance(1, 1) + 2 * c * s * Covariance(0, 1);
        return (Sqrt(Max(0, variance)), Sqrt(Max(0, Covariance(2, 2))), Sqrt(Max(0, Covariance(3, 3))));
    }

    private double[] DataProducts(Vectors v, double[][] means, int perTone)
    {
        int tones = Tones.Length, lines = _matrix.Lines, blocks = (_matrix.Ticks + LightMatrix.BlockTicks - 1) / LightMatrix.BlockTicks;
        // Line vectors with weight and the lines' own time means in, one set for each parity.
        float[][][] lineVectors = [.. Enumerable.Range(0, _matrix.Parities * tones).Select(i => Weighted(v, means[i / tones], i % tones))];
        float[][] plain = [.. means.Select(m => m.Select((mean, r) => (float)(_lineWeights[r] * (1 + mean))).ToArray())];
        double[][] parts = new double[blocks][];
        Parallel.For(0, blocks, block =>
        {
            double[] right = parts[block] = new double[tones * perTone + _drift.Length];
            int from = block * LightMatrix.BlockTicks, to = Min(from + LightMatrix.BlockTicks, _matrix.Ticks);
            for (int k = 0; k < tones; k++)
            {
                Complex sum = Complex.Zero, sumTick = Complex.Zero, sumLine = Complex.Zero;
                for (int n = from; n < to; n++)
                {
                    if (!_matrix.Present[n]) continue;
                    float[][] line = lineVectors[_matrix.ParityOf(n) * tones + k];
                    (double re, double im, double reMoment, double imMoment) = RowKernel.Dots(_matrix.Relative.AsSpan(n * lines, lines), line[0], line[1], line[2], line[3]);
                    var q = new Complex(re, im);
                    sum += q * v.Ticks[k][n];
                    sumTick += q * v.TicksMoment[k][n];
                    sumLine += new Complex(reMoment, imMoment) * v.Ticks[k][n];
                }
                right[k * perTone] = sum.Real;
                right[k * perTone + 1] = -sum.Imaginary;
                if (perTone == 2) continue;
                Complex slope = Tones[k].Z * new Complex(0, 2 * PI);
                right[k * perTone + 2] = (slope * sumTick).Real;
                right[k * perTone + 3] = (slope * sumLine).Real;
            }
            for (int n = from; n < to && _drift.Length > 0; n++)
            {
                if (!_matrix.Present[n]) continue;
                double sum = RowKernel.Dot(_matrix.Relative.AsSpan(n * lines, lines), plain[_matrix.ParityOf(n)]);
                for (int j = 0; j < _drift.Length; j++) right[tones * perTone + j] += _drift[j][n] * sum;
            }
        });
        // Added in a fixed order, so that the same clip gives the same bytes whatever the threads did.
        double[] total = new double[tones * perTone + _drift.Length];
        foreach (double[] part in parts)
        {
            for (int i = 0; i < total.Length; i++) total[i] += part[i];
        }
        return total;
    }

    private float[][] Weighted(Vectors v, double[] mean, int tone)
    {
        float[][] vectors = [new float[mean.Length], new float[mean.Length], new float[mean.Length], new float[mean.Length]];
        for (int r = 0; r < mean.Length; r++)
        {
            double weight = _lineWeights[r] * (1 + mean[r]);
            Complex line = weight * v.Lines[tone][r], moment = weight * v.LinesMoment[tone][r];
            (vectors[0][r], vectors[1][r]) = ((float)line.Real, (float)line.Imaginary);
            (vectors[2][r], vectors[3][r]) = ((float)moment.Real, (float)moment.Imaginary);
        }
        return vectors;
    }

    private double[,] NormalMatrix(Vectors v, int perTone)
    {
        int tones = Tones.Length, size = tones * perTone + _drift.Length;
        double[,] normal = new double[size, size];
        // Column c of tone k is Re(factor · tick vector · line vector): plain both for c = 0 and 1, the tick's moment for 2, the line's for 3.
        Complex Factor(int k, int c) => c switch
        {
            0 => Complex.One,
            1 => Complex.ImaginaryOne,
            _ => Tones[k].Z * new Complex(0, 2 * PI),
        };

        (Apart Plain, Apart Moment)[] ticks = [.. v.Ticks.Zip(v.TicksMoment, (p, m) => (Apart.Of(p), Apart.Of(m)))], lines = [.. v.Lines.Zip(v.LinesMoment, (p, m) => (Apart.Of(p), Apart.Of(m)))];
        (Apart Plain, Apart Moment)[] weighted = [.. v.Lines.Zip(v.LinesMoment, (p, m) => (Apart.Of(p, _lineWeights), Apart.Of(m, _lineWeights)))];
        // Every entry is the work of one k alone.
        Parallel.For(0, tones, k =>
        {
            for (int m = k; m < tones; m++)
            {
                // Ticks: plain and moment; lines: plain and moment; with and without conjugation.
                Products tick = Pair(ticks[k], ticks[m], out Products tickConjugate);
                Products line = Pair(weighted[k], lines[m], out Products lineConjugate);
                for (int a = 0; a < perTone; a++)
                {
                    for (int b = 0; b < perTone; b++)
                    {
                        Complex fa = Factor(k, a), fb = Factor(m, b);
                        (int ta, int la) = (a == 2 ? 1 : 0, a == 3 ? 1 : 0);
                        (int tb, int lb) = (b == 2 ? 1 : 0, b == 3 ? 1 : 0);
                        double value = 0.5 * ((fa * fb * tick[ta, tb] * line[la, lb]).Real
                            + (fa * Complex.Conjugate(fb) * tickConjugate[ta, tb] * lineConjugate[la, lb]).Real);
                        normal[k * perTone + a, m * perTone + b] = value;
                        normal[m * perTone + b, k * perTone + a] = value;
                    }
                }
            }
            Complex lineSum = weighted[k].Plain.Sum, lineMomentSum = weighted[k].Moment.Sum;
            for (int j = 0; j < _drift.Length; j++)
            {
                Complex tickSum = ticks[k].Plain.Times(_drift[j]), tickMomentSum = ticks[k].Moment.Times(_drift[j]);
                for (int a = 0; a < perTone; a++)
                {
                    double value = (Factor(k, a) * (a == 2 ? tickMomentSum : tickSum) * (a == 3 ? lineMomentSum : lineSum)).Real;
                    normal[k * perTone + a, tones * perTone + j] = value;
                    normal[tones * perTone + j, k * perTone + a] = value;
                }
            }
        });
        double weightSum = _lineWeights.Sum();
        for (int i = 0; i < _drift.Length; i++)
        {
            for (int j = i; j < _drift.Length; j++)
            {
                double sum = 0;
                for (int n = 0; n < _matrix.Ticks; n++) sum += _drift[i][n] * _drift[j][n];
                normal[tones * perTone + i, tones * perTone + j] = normal[tones * perTone + j, tones * perTone + i] = sum * weightSum;
            }
        }
        return normal;
    }

    /// <summary>Sums over two pairs of vectors, plain and moment each: the products of every one with every other.</summary>
    private readonly record struct Products(Complex PlainPlain, Complex PlainMoment, Complex MomentPlain, Complex MomentMoment)
    {
        public Complex this[int first, int second] => (first, second) switch
        {
            (0, 0) => PlainPlain,
            (0, _) => PlainMoment,
            (_, 0) => MomentPlain,
            _ => MomentMoment,
        };
    }

    /// <summary>A complex vector, real and imaginary parts apart.</summary>
    private readonly record struct Apart(double[] Real, double[] Imaginary)
    {
        public static Apart Of(Complex[] values) => new([.. values.Select(c => c.Real)], [.. values.Select(c => c.Imaginary)]);

        public Complex Sum => new(Real.Sum(), Imaginary.Sum());

        public Complex Times(double[] factors) => new(RowKernel.Dot(Real, factors), RowKernel.Dot(Imaginary, factors));

        public static Apart Of(Complex[] values, double[] weights) => Of([.. values.Zip(weights, (c, w) => w * c)]);
    }

    private static Products Pair((Apart Plain, Apart Moment) first, (Apart Plain, Apart Moment) second, out Products conjugate)
    {
        (Complex c00, Complex p00) = Product(first.Plain, second.Plain);
        (Complex c01, Complex p01) = Product(first.Plain, second.Moment);
        (Complex c10, Complex p10) = Product(first.Moment, second.Plain);
        (Complex c11, Complex p11) = Product(first.Moment, second.Moment);
        conjugate = new Products(c00, c01, c10, c11);
        return new Products(p00, p01, p10, p11);
    }

    /// <summary>Σ a b* and Σ a b, both of the same four real sums.</summary>
    private static (Complex WithConjugate, Complex Plain) Product(Apart a, Apart b)
    {
        (double rr, double ii, double ri, double ir) = RowKernel.CrossProducts(a.Real, a.Imaginary, b.Real, b.Imaginary);
        return (new Complex(rr + ii, ir - ri), new Complex(rr - ii, ir + ri));
    }

    /// <summary>How all parameters hang on the free ones: an overtone's frequency steps are multiples of its fundamental's, a sum's those of its two.</summary>
    private Ties TiesOf(int perTone)
    {
        int tones = Tones.Length;
        var rows = new (int Free, double Times)[tones * perTone + _drift.Length][];
        Array.Fill(rows, []);
        int next = 0;
        int[] freeOfX = new int[tones];
        for (int k = 0; k < tones; k++)
        {
            if (!Tones[k].IsUnseen)
            {
                rows[k * perTone] = [(next++, 1)];
                rows[k * perTone + 1] = [(next++, 1)];
            }
            if (perTone == 2 || Tones[k].TiedTo >= 0) continue;
            freeOfX[k] = next;
            rows[k * perTone + 2] = [(next++, 1)];
            rows[k * perTone + 3] = [(next++, 1)];
        }
        for (int k = 0; k < tones && perTone == 4; k++)
        {
            if (Tones[k].TiedTo < 0) continue;
            int at = freeOfX[Tones[k].TiedTo], also = Tones[k].AlsoTiedTo < 0 ? -1 : freeOfX[Tones[k].AlsoTiedTo];
            for (int step = 0; step < 2; step++)
            {
                rows[k * perTone + 2 + step] = also < 0 ? [(at + step, Tones[k].Multiple)] : [(at + step, Tones[k].Multiple), (also + step, Tones[k].AlsoMultiple)];
            }
        }
        for (int j = 0; j < _drift.Length; j++) rows[tones * perTone + j] = [(next++, 1)];
        return new Ties(rows, next);
    }

    /// <summary>Each parameter as a sum of a few free ones: none, one or two.</summary>
    private sealed record Ties((int Free, double Times)[][] Rows, int Count)
    {
        /// <summary>The normal matrix of the free parameters.</summary>
        public Matrix<double> Reduce(double[,] full)
        {
            double[,] reduced = new double[Count, Count];
            for (int i = 0; i < Rows.Length; i++)
            {
                foreach ((int row, double times) in Rows[i])
                {
                    for (int j = 0; j < Rows.Length; j++)
                    {
                        foreach ((int column, double also) in Rows[j]) reduced[row, column] += times * also * full[i, j];
                    }
                }
            }
            return Matrix<double>.Build.DenseOfArray(reduced);
        }

        /// <summary>The right side of the free parameters.</summary>
        public Vector<double> Reduce(double[] full)
        {
            double[] reduced = new double[Count];
            for (int i = 0; i < Rows.Length; i++)
            {
                foreach ((int row, double times) in Rows[i]) reduced[row] += times * full[i];
            }
            return Vector<double>.Build.Dense(reduced);
        }

        /// <summary>All parameters from the free ones.</summary>
        public double[] Expand(Vector<double> free) => [.. Rows.Select(row => row.Sum(p => p.Times * free[p.Free]))];

        /// <summary>Covariance of two parameters from that of the free ones.</summary>
        public double Covariance(Matrix<double> free, int i, int j)
        {
            double sum = 0;
            foreach ((int row, double times) in Rows[i])
            {
                foreach ((int column, double also) in Rows[j]) sum += times * also * free[row, column];
            }
            return sum;
        }
    }

    private double[] DriftOf(double[] solution, int offset)
    {
        double[] drift = new double[_matrix.Ticks];
        for (int j = 0; j < _drift.Length; j++)
        {
            for (int n = 0; n < drift.Length; n++) drift[n] += solution[offset + j] * _drift[j][n];
        }
        return drift;
    }

    /// <summary>Takes the mean over the present ticks of each parity away; answers the means.</summary>
    private Complex[] Centre(Complex[] values)
    {
        var means = new Complex[_matrix.Parities];
        for (int n = 0; n < values.Length; n++)
        {
            if (_matrix.Present[n]) means[_matrix.ParityOf(n)] += values[n];
        }
        for (int p = 0; p < means.Length; p++) means[p] /= Max(1, _parityCount[p]);
        for (int n = 0; n < values.Length; n++)
        {
            if (_matrix.Present[n]) values[n] -= means[_matrix.ParityOf(n)];
        }
        return means;
    }

    private void Centre(double[] values)
    {
        var complex = values.Select(d => new Complex(d, 0)).ToArray();
        Centre(complex);
        for (int n = 0; n < values.Length; n++) values[n] = complex[n].Real;
    }

    // Columns differ in size by many orders (cycles per tick against amplitudes): scale the diagonal to 1 first.
    private static Vector<double> Solve(Matrix<double> matrix, Vector<double> right)
    {
        Vector<double> scale = matrix.Diagonal().Map(d => d > 0 ? 1 / Sqrt(d) : 0);
        Matrix<double> scaled = matrix.MapIndexed((i, j, value) => value * scale[i] * scale[j] + (i == j ? 1e-9 : 0));
        return scaled.LU().Solve(right.PointwiseMultiply(scale)).PointwiseMultiply(scale);
    }

    private static Matrix<double> Inverse(Matrix<double> matrix)
    {
        Vector<double> scale = matrix.Diagonal().Map(d => d > 0 ? 1 / Sqrt(d) : 0);
        Matrix<double> scaled = matrix.MapIndexed((i, j, value) => value * scale[i] * scale[j] + (i == j ? 1e-9 : 0));
        return scaled.Inverse().MapIndexed((i, j, value) => value * scale[i] * scale[j]);
    }
}
