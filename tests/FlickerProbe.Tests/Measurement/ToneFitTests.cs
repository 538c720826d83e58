using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using MathNet.Numerics.LinearAlgebra;
using Complex = System.Numerics.Complex;

namespace FlickerProbe.Tests.Measurement;

/// <summary>
/// The fit's separated sums against one dense weighted least-squares problem, every column written out cell by cell, its time mean per line and
/// parity taken away, and solved by QR: at the answer the dense problem must give the same amplitudes, the same deviations and no further step.
/// </summary>
public class ToneFitTests
{
    private const int DriftOrders = 3;

    public static TheoryData<string> Cases => new() { "two tones", "tied overtones", "top field first", "bottom field first", "nearly locked" };

    private static (LightMatrix Matrix, PlaneTone[] Seeds) Make(string name)
    {
        (double X, double Nu, double A, double Phase)[] truth = name switch
        {
            "two tones" => [(0.21, 0.083, 0.2, 0.3), (-0.13, 0.15, 0.05, 2)],
            "tied overtones" => [(0.083, 0.061, 0.2, 0.3), (0.166, 0.122, 0.08, 1), (0.249, 0.183, 0.03, -1)],
            "nearly locked" => [(0.3 / 60, 0.083, 0.15, 0.7), (0.27, 0.11, 0.03, 0)],
            _ => [(0.21, 0.083, 0.2, 0.3)],
        };
        FieldOrder fields = name switch { "top field first" => FieldOrder.TopFieldFirst, "bottom field first" => FieldOrder.BottomFieldFirst, _ => FieldOrder.Progressive };
        int parities = fields == FieldOrder.Progressive ? 1 : 2;
        var normal = new NormalNoise(3);
        LightMatrix matrix = Planes.Of(60, 36 * parities, (n, r) =>
        {
            double field = parities == 1 ? 0 : fields == FieldOrder.TopFieldFirst ? r % 2 : 1 - r % 2;
            double sum = 1 + 0.3 * r / 36 + 0.01 * n / 60;
            double light = 1 + 0.01 * normal.Next();
            foreach ((double x, double nu, double a, double phase) in truth) light += a * Math.Cos(2 * Math.PI * (x * (n * parities + field) + nu * r / parities) + phase);
            return sum * light;
        }, missing: [7, 8, 31], fields);
        PlaneTone[] seeds = [.. truth.Select((t, k) => new PlaneTone(t.X + 0.1 / matrix.Ticks, t.Nu, Complex.Zero)
        {
            TiedTo = name == "tied overtones" && k > 0 ? 0 : -1,
            Multiple = name == "tied overtones" ? k + 1 : 1,
        })];
        if (name == "tied overtones")
        {
            for (int k = 1; k < seeds.Length; k++) seeds[k] = seeds[k] with { X = seeds[0].X * (k + 1), Nu = seeds[0].Nu * (k + 1) };
        }
        return (matrix, seeds);
    }

    private static double[] Weights(LightMatrix matrix)
    {
        double[] weights = [.. Enumerable.Range(0, matrix.Lines).Select(r => 0.4 + r % 5 * 0.3)];
        double mean = weights.Average();
        return [.. weights.Select(w => w / mean)];
    }

    /// <summary>Cosine and minus sine of a tone at a cell, in the fit's own frame: the middle of the plane.</summary>
    private static Complex Wave(LightMatrix matrix, double x, double nu, int tick, int line) => Complex.FromPolarCoordinates(
        1, 2 * Math.PI * (x * (tick - (matrix.Ticks - 1) / 2.0) + nu * (line + matrix.LineOffset(tick) - (matrix.Lines - 1) / 2.0)));

    /// <summary>One column per free parameter: Re z and Im z of each tone, x and ν of each untied one, drift; and what each stands for.</summary>
    private static List<(string Name, int Tone, double[,] Column)> Columns(LightMatrix matrix, PlaneTone[] tones)
    {
        var columns = new List<(string, int, double[,])>();
        double[,] Fill(Func<int, int, double> value)
        {
            double[,] column = new double[matrix.Ticks, matrix.Lines];
            for (int r = 0; r < matrix.Lines; r++)
            {
                for (int p = 0; p < matrix.Parities; p++)
                {
                    int[] present = [.. Enumerable.Range(0, matrix.Ticks).Where(n => matrix.Present[n] && matrix.ParityOf(n) == p)];
                    double mean = present.Average(n => value(n, r));
                    foreach (int n in present) column[n, r] = value(n, r) - mean;
                }
            }
            return column;
        }

        for (int k = 0; k < tones.Length; k++)
        {
            PlaneTone tone = tones[k];
            columns.Add(("re", k, Fill((n, r) => Wave(matrix, tone.X, tone.Nu, n, r).Real)));
            columns.Add(("im", k, Fill((n, r) => -Wave(matrix, tone.X, tone.Nu, n, r).Imaginary)));
            if (tone.TiedTo >= 0) continue;
            // The slopes by a central difference over all tones that hang on this one, so no formula of the fit is repeated.
            PlaneTone[] kin = [.. tones.Where((t, m) => m == k || t.TiedTo == tones.ToList().IndexOf(tone))];
            const double H = 1e-6;
            columns.Add(("x", k, Fill((n, r) => kin.Sum(t => (t.Z * (Wave(matrix, t.X + t.Multiple * H, t.Nu, n, r) - Wave(matrix, t.X - t.Multiple * H, t.Nu, n, r))).Real / (2 * H)))));
            columns.Add(("nu", k, Fill((n, r) => kin.Sum(t => (t.Z * (Wave(matrix, t.X, t.Nu + t.Multiple * H, n, r) - Wave(matrix, t.X, t.Nu - t.Multiple * H, n, r))).Real / (2 * H)))));
        }
        for (int j = 1; j <= DriftOrders; j++) columns.Add(("drift", j, Fill((n, _) => Math.Cos(Math.PI * j * (n + 0.5) / matrix.Ticks))));
        return columns;
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void It_is_the_dense_least_squares_solution(string name) => Compare(name, name.EndsWith("field first", StringComparison.Ordinal) ? ["re", "im", "x"] : ["re", "im", "x", "nu"]);

    [Theory]
    [InlineData("top field first")]
    [InlineData("bottom field first")]
    public void Interlaced_band_frequencies_come_within_a_tenth_of_their_deviation(string name) =>
        // The fit's slope leaves out that the fields lie half a line apart: a twentieth of a deviation at this size, which no interval notices.
        Compare(name, ["nu"], within: 0.1);

    private static void Compare(string name, string[] parameters, double within = 0.01)
    {
        (LightMatrix matrix, PlaneTone[] seeds) = Make(name);
        double[] weights = Weights(matrix);

        ToneFit fit = ToneFit.Of(matrix, weights, seeds, DriftOrders, steps: 30);

        List<(string Name, int Tone, double[,] Column)> columns = Columns(matrix, fit.Tones);
        (int Tick, int Line)[] cells = [.. Enumerable.Range(0, matrix.Ticks).Where(n => matrix.Present[n]).SelectMany(n => Enumerable.Range(0, matrix.Lines).Select(r => (n, r)))];
        var design = Matrix<double>.Build.Dense(cells.Length, columns.Count, (i, c) => Math.Sqrt(weights[cells[i].Line]) * columns[c].Column[cells[i].Tick, cells[i].Line]);
        // (1 + w̄)·data = w − w̄, with the time mean w̄ that the fit reports; checked against its own definition below.
        var data = Vector<double>.Build.Dense(cells.Length, i => Math.Sqrt(weights[cells[i].Line])
            * matrix.Relative[cells[i].Tick * matrix.Lines + cells[i].Line] * (1 + fit.MeanFlicker[matrix.ParityOf(cells[i].Tick)][cells[i].Line]));
        Vector<double> solution = design.QR().Solve(data);
        Vector<double> rest = data - design * solution;
        double variance = rest.DotProduct(rest) / ((matrix.Count - matrix.Parities) * (double)matrix.Lines - 4 * fit.Tones.Length - DriftOrders);
        Matrix<double> covariance = (design.Transpose() * design).Inverse() * variance;

        Assert.Equal(Math.Sqrt(variance), fit.Sigma, 1e-4 * fit.Sigma);
        for (int c = 0; c < columns.Count; c++)
        {
            if (!parameters.Contains(columns[c].Name)) continue;
            double deviation = Math.Sqrt(covariance[c, c]);
            (double expected, double stated) = columns[c].Name switch
            {
                "re" => (fit.Tones[columns[c].Tone].Z.Real, double.NaN),
                "im" => (fit.Tones[columns[c].Tone].Z.Imaginary, double.NaN),
                "x" => (0, fit.Tones[columns[c].Tone].XDeviation),
                _ => (0, fit.Tones[columns[c].Tone].NuDeviation),
            };
            // A hundredth of a standard deviation: the fit may stop there.
            Assert.True(Math.Abs(solution[c] - expected) < within * deviation, $"{columns[c].Name} of tone {columns[c].Tone}: {(solution[c] - expected) / deviation} deviations off");
            if (!double.IsNaN(stated)) Assert.Equal(deviation, stated, 1e-3 * deviation);
        }
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void The_lines_own_time_means_are_those_of_the_tones(string name)
    {
        (LightMatrix matrix, PlaneTone[] seeds) = Make(name);
        ToneFit fit = ToneFit.Of(matrix, Weights(matrix), seeds, DriftOrders, steps: 30);
        for (int p = 0; p < matrix.Parities; p++)
        {
            int[] present = [.. Enumerable.Range(0, matrix.Ticks).Where(n => matrix.Present[n] && matrix.ParityOf(n) == p)];
            for (int r = 0; r < matrix.Lines; r++)
                Assert.Equal(present.Average(n => fit.Tones.Sum(t => (t.Z * Wave(matrix, t.X, t.Nu, n, r)).Real)), fit.MeanFlicker[p][r], 1e-9);
        }
    }

    [Fact]
    public void Three_tenths_of_a_cycle_give_the_true_amplitude()
    {
        // Measurement model, trap 2: a windowed spectrum of the same data would show less than a fifth of it.
        (LightMatrix matrix, PlaneTone[] seeds) = Make("nearly locked");
        PlaneTone slow = ToneFit.Of(matrix, Weights(matrix), seeds, DriftOrders, steps: 30).Tones[0];
        Assert.Equal(0.15, slow.Amplitude, 0.03 * 0.15);
        Assert.Equal(0.3 / 60, slow.X, 0.02 / 60);
    }
}
