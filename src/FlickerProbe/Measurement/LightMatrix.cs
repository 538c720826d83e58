using System.Numerics;
using FlickerProbe.Footage;

namespace FlickerProbe.Measurement;

/// <summary>The take as ticks × lines of relative light: each line divided by its own time mean, less one.</summary>
/// <remarks>
/// A tick is one moment of the sensor's clock: a frame, or a field of interlaced footage. A line is one row of that moment's picture.
/// Missing ticks hold zeros and have <see cref="Present"/> false. In interlaced footage ticks of the two parities see different rows, so
/// each (line, parity) has a time mean of its own.
/// </remarks>
internal sealed class LightMatrix
{
    /// <summary>A line darker than this share of nominal white says nothing about light: it stays at zero instead of becoming noise divided by nothing.</summary>
    private const double Black = 1e-4;

    /// <summary>Ticks of one piece of work: their rows stay in the cache while all tones pass over them.</summary>
    public const int BlockTicks = 64;

    private readonly float[] _gain; // of each tick, what was divided out
    private int _firstCodedRow;
    private StripSource? _source;

    private LightMatrix(int ticks, int lines, int parities, int strips)
    {
        Ticks = ticks;
        Lines = lines;
        Parities = parities;
        Present = new bool[ticks];
        _gain = new float[ticks];
        Array.Fill(_gain, 1);
        RemovedLevel = new double[ticks];
        Relative = new float[(long)ticks * lines];
        MeanLight = new double[parities][];
        StripMeanLight = new double[strips][][];
    }

    /// <summary>Number of clock ticks, missing ones included.</summary>
    public int Ticks { get; }

    /// <summary>Lines of one tick.</summary>
    public int Lines { get; }

    /// <summary>1 for progressive, 2 for interlaced footage.</summary>
    public int Parities { get; }

    /// <summary>Ticks a second.</summary>
    public double TickHz { get; private init; }

    /// <summary>Lines in the whole coded height of one tick: the readout time is for these.</summary>
    public double LinesPerHeight { get; private init; }

    /// <summary>Whether a tick has data.</summary>
    public bool[] Present { get; }

    /// <summary>Level of each tick that was divided out, relative change of the whole picture.</summary>
    public double[] RemovedLevel { get; }

    /// <summary>Number of ticks with data.</summary>
    public int Count { get; private set; }

    /// <summary>Parity (0 or 1) of tick 0.</summary>
    public int FirstParity { get; private init; }

    /// <summary>[tick * Lines + line]: light over its line's time mean, less 1; mean of all strips.</summary>
    public float[] Relative { get; }

    /// <summary>Number of column strips.</summary>
    public int Strips => StripMeanLight.Length;

    /// <summary>Time mean of linear light [parity][line].</summary>
    public double[][] MeanLight { get; }

    /// <summary>Time mean of linear light [strip][parity][line].</summary>
    public double[][][] StripMeanLight { get; }

    /// <summary>Parity of a tick: which of the two sets of rows it sees; 0 for progressive.</summary>
    public int ParityOf(int tick) => Parities == 1 ? 0 : (tick + FirstParity) & 1;

    /// <summary>How far (in lines) the rows of this tick lie below those of the other parity's: 0 or ½.</summary>
    public double LineOffset(int tick) => Parities == 1 ? 0 : 0.5 * ((ParityOf(tick) + _firstCodedRow) & 1);

    /// <summary>The same wave with the fewest cycles: x and ν within −½…½.</summary>
    /// <remarks>A whole cycle a line more looks the same on every line. Fields lie half a line apart, so there it shifts every other one by half a cycle: half a cycle a tick.</remarks>
    /// <param name="x">Cycles per tick.</param>
    /// <param name="nu">Cycles per line.</param>
    public (double X, double Nu) Wrapped(double x, double nu)
    {
        double folds = Math.Round(nu);
        return (ToneSearch.Wrap(x + (Parities == 1 ? 0 : folds / 2)), nu - folds);
    }

    /// <summary>Builds the matrix; other light, when a reference was taken, is subtracted first.</summary>
    public static LightMatrix Build(SampledTake take, SensorClock clock)
    {
        RowTraces traces = take.Traces;
        int parities = take.Fields == FieldOrder.Progressive || traces.Rows < 4 ? 1 : 2;
        // Coded row r of the picture belongs to field r mod 2; the region may start on an odd row.
        int firstParity = take.Fields == FieldOrder.BottomFieldFirst ? 1 : 0;
        int lines = traces.Rows / parities;
        int ticks = (clock.Ticks[^1] + 1) * parities;
        var matrix = new LightMatrix(ticks, lines, parities, traces.Strips)
        {
            TickHz = clock.TickHz * parities,
            LinesPerHeight = (double)traces.CodedHeight / parities,
            FirstParity = parities == 1 ? 0 : firstParity,
            _firstCodedRow = traces.FirstCodedRow,
        };

        int[] frameOf = new int[ticks];
        for (int i = 0; i < clock.FrameIndices.Length; i++)
        {
            for (int field = 0; field < parities; field++)
            {
                int tick = clock.Ticks[i] * parities + field;
                matrix.Present[tick] = true;
                frameOf[tick] = clock.FrameIndices[i];
            }
        }
        matrix.Count = matrix.Present.Count(p => p);
        matrix._source = new StripSource(traces, take.Reference, frameOf);
        Parallel.For(0, ticks, () => new float[lines], (tick, _, light) =>
        {
            if (!matrix.Present[tick]) return light;
            Span<float> sum = matrix.Relative.AsSpan(tick * lines, lines);
            for (int s = 0; s < traces.Strips; s++)
            {
                ReadOnlySpan<float> strip = matrix.StripLight(s, tick, light);
                for (int line = 0; line < lines; line++) sum[line] += strip[line] / traces.Strips;
            }
            return light;
        }, _ => { });
        Parallel.For(0, traces.Strips + 1, plane =>
        {
            if (plane == traces.Strips) matrix.Normalise();
            else matrix.StripMeanLight[plane] = matrix.StripMeans(plane);
        });
        matrix._source.Take(matrix.StripMeanLight, matrix.StripMeanLight);
        return matrix;
    }

    /// <summary>Relative light of one strip in one tick, worked out from the traces when asked for: kept, the strips would take most of the memory.</summary>
    /// <param name="strip">Strip.</param>
    /// <param name="tick">A tick with data.</param>
    /// <param name="into">Takes <see cref="Lines"/> numbers.</param>
    public void StripRelative(int strip, int tick, Span<float> into)
    {
        (float[] scale, float[] one) = _source!.Scales[strip][ParityOf(tick)];
        RowKernel.Relative(StripLight(strip, tick, into), _gain[tick], scale, one, into[..Lines]);
    }

    /// <summary>Σ of a plane (ticks × lines) against exp(−iθ), θ being the tick's phase plus the line's.</summary>
    /// <param name="plane">Ticks × lines.</param>
    /// <param name="ticks">exp(iθ) of each tick.</param>
    /// <param name="cosines">Cosine of each line's phase [parity][line], with what weight the line has.</param>
    /// <param name="sines">Sine likewise.</param>
    public Complex Project(float[] plane, Complex[] ticks, float[][] cosines, float[][] sines)
    {
        Complex sum = Complex.Zero;
        for (int n = 0; n < Ticks; n++)
        {
            if (!Present[n]) continue;
            int parity = ParityOf(n);
            sum += RowKernel.Project(plane.AsSpan(n * Lines, Lines), ticks[n], cosines[parity], sines[parity]);
        }
        return sum;
    }

    /// <summary>A plane of the same shape with its ticks averaged in blocks, each parity for itself: for what changes slowly. Without strips.</summary>
    /// <param name="matrix">Shape, clock and parities.</param>
    /// <param name="plane">Ticks × lines of relative light.</param>
    /// <param name="blockTicks">Ticks of one parity in a block.</param>
    public static LightMatrix Averaged(LightMatrix matrix, float[] plane, int blockTicks)
    {
        int parities = matrix.Parities, each = matrix.Ticks / parities, blocks = (each + blockTicks - 1) / blockTicks;
        var slow = new LightMatrix(blocks * parities, matrix.Lines, parities, 0)
        {
            TickHz = matrix.TickHz / blockTicks,
            LinesPerHeight = matrix.LinesPerHeight,
            FirstParity = matrix.FirstParity,
            _firstCodedRow = matrix._firstCodedRow,
        };
        for (int p = 0; p < parities; p++) slow.MeanLight[p] = matrix.MeanLight[p];
        int lines = matrix.Lines;
        Parallel.For(0, slow.Ticks, to =>
        {
            int first = to / parities * blockTicks, count = 0;
            Span<float> sum = slow.Relative.AsSpan(to * lines, lines);
            for (int i = first; i < Math.Min(first + blockTicks, each); i++)
            {
                int tick = i * parities + to % parities;
                if (!matrix.Present[tick]) continue;
                count++;
                ReadOnlySpan<float> row = plane.AsSpan(tick * lines, lines);
                for (int line = 0; line < lines; line++) sum[line] += row[line];
            }
            slow.Present[to] = count > 0;
            for (int line = 0; line < lines && count > 0; line++) sum[line] /= count;
        });
        slow.Count = slow.Present.Count(p => p);
        return slow;
    }

    /// <summary>Divides every tick by its level (relative change of the whole picture) and takes the lines' time means anew.</summary>
    public void RemoveLevel(double[] level)
    {
        double[][] rest = LinesOfParities();
        int[] counts = new int[Parities];
        for (int tick = 0; tick < Ticks; tick++)
        {
            if (!Present[tick]) continue;
            float gain = (float)(1 / Math.Max(0.05, 1 + level[tick]));
            _gain[tick] *= gain;
            double[] sum = rest[ParityOf(tick)], mean = MeanLight[ParityOf(tick)];
            counts[ParityOf(tick)]++;
            for (int i = tick * Lines, line = 0; line < Lines; line++, i++)
            {
                if (mean[line] <= Black) continue;
                Relative[i] = (1 + Relative[i]) * gain;
                sum[line] += Relative[i];
            }
        }
        for (int tick = 0; tick < Ticks; tick++)
        {
            if (!Present[tick]) continue;
            double[] sum = rest[ParityOf(tick)];
            int count = counts[ParityOf(tick)];
            for (int i = tick * Lines, line = 0; line < Lines; line++, i++)
                Relative[i] = sum[line] > 0 ? (float)(Relative[i] * count / sum[line] - 1) : 0;
        }
        double[][][] means = new double[Strips][][];
        Parallel.For(0, Strips, s => means[s] = StripMeans(s));
        _source?.Take(StripMeanLight, means);
        for (int tick = 0; tick < Ticks; tick++) RemovedLevel[tick] = (1 + RemovedLevel[tick]) * (1 + level[tick]) - 1;
    }

    private void Normalise()
    {
        TimeMeans(n => Relative.AsSpan(n * Lines, Lines)).CopyTo(MeanLight, 0);
        for (int tick = 0; tick < Ticks; tick++)
        {
            if (!Present[tick]) continue;
            double[] mean = MeanLight[ParityOf(tick)];
            for (int line = 0; line < Lines; line++)
                Relative[tick * Lines + line] = mean[line] > Black ? (float)(Relative[tick * Lines + line] / mean[line] - 1) : 0;
        }
    }

    /// <summary>Light of a strip's lines in one tick, other light subtracted; where nothing has to be done to it, as it lies in the traces.</summary>
    private ReadOnlySpan<float> StripLight(int strip, int tick, Span<float> scratch)
    {
        StripSource source = _source!;
        int rows = source.Traces.Rows, row = Parities == 1 ? 0 : (ParityOf(tick) + _firstCodedRow) & 1;
        ReadOnlySpan<float> frame = source.Traces.Strip(strip).Slice(source.FrameOf[tick] * rows, rows), other = source.Other?[strip];
        if (Parities == 1 && other.IsEmpty) return frame;
        for (int line = 0; line < Lines; line++, row += Parities) scratch[line] = frame[row] - (other.IsEmpty ? 0 : other[row]);
        return scratch[..Lines];
    }

    private double[][] StripMeans(int strip)
    {
        float[] scratch = new float[Lines];
        return TimeMeans(n => StripLight(strip, n, scratch));
    }

    /// <summary>Time means of the lines [parity][line], each tick times its gain.</summary>
    private double[][] TimeMeans(RowOf rowOf)
    {
        double[][] means = LinesOfParities();
        int[] counts = new int[Parities];
        for (int tick = 0; tick < Ticks; tick++)
        {
            if (!Present[tick]) continue;
            ReadOnlySpan<float> row = rowOf(tick);
            double[] mean = means[ParityOf(tick)];
            double gain = _gain[tick];
            counts[ParityOf(tick)]++;
            for (int line = 0; line < Lines; line++) mean[line] += row[line] * gain;
        }
        for (int p = 0; p < Parities; p++)
        {
            for (int line = 0; line < Lines; line++) means[p][line] /= Math.Max(1, counts[p]);
        }
        return means;
    }

    private double[][] LinesOfParities() => [.. Enumerable.Range(0, Parities).Select(_ => new double[Lines])];

    private delegate ReadOnlySpan<float> RowOf(int tick);

    // What the strips' relative light is worked out from.
    private sealed record StripSource(RowTraces Traces, float[][]? Other, int[] FrameOf)
    {
        /// <summary>[strip][parity]: per line one over its mean, and one; both 0 for a black line.</summary>
        public (float[] Scale, float[] One)[][] Scales { get; private set; } = [];

        /// <summary>Takes the means of light as it is, which tell what is black, and of light with the gains of the ticks in.</summary>
        public void Take(double[][][] light, double[][][] gained) =>
            Scales = [.. light.Zip(gained, (strip, now) => strip.Zip(now, ScaleOf).ToArray())];

        private static (float[] Scale, float[] One) ScaleOf(double[] light, double[] gained)
        {
            float[] scale = [.. light.Zip(gained, (l, g) => l > Black && g > 0 ? (float)(1 / g) : 0)];
            return (scale, [.. scale.Select(s => s > 0 ? 1f : 0)]);
        }
    }
}
