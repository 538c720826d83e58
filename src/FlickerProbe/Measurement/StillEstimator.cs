using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Units;
using MathNet.Numerics.LinearAlgebra;
using static System.Math;
using Complex = System.Numerics.Complex;

namespace FlickerProbe.Measurement;

/// <summary>A still picture, or too few frames to have a second clock: the bands along the rows are all there is.</summary>
/// <remarks>
/// The profile of row means is smooth shading times light. Shading (a low polynomial) and a fundamental with its overtones are fitted
/// together by least squares, the band frequency refined by golden-section search on what is left. Without the frames' fine clock the
/// frequency is as good as the readout time and the fit of ν allow; a single picture never earns a pass.
/// </remarks>
internal static class StillEstimator
{
    private const int ShadingOrder = 4;
    private const int Overtones = 9;

    /// <summary>With fewer bands in the region than this the shading's polynomial bends like the light: amplitude and frequency are then anybody's guess.</summary>
    private const double FewestBands = 2;

    /// <summary>Measures the mean of the frames as one picture.</summary>
    public static TakeMeasurement Measure(SampledTake take, EstimatorOptions options)
    {
        int rows = take.Traces.Rows;
        double[][] strips = Profiles(take);
        double[] profile = Mean(strips);
        var format = new CameraFormat(take.Rate, take.Exposure, take.Readout);
        var clock = new SensorClock([.. Enumerable.Range(0, take.Traces.Frames)], [.. Enumerable.Range(0, take.Traces.Frames)], take.Rate.Hertz, take.Rate.Hertz * SensorClock.CrystalDeviation, []);
        var findings = new List<Finding>
        {
            new(FindingCodes.ShortClip, Invariant($"Only {take.Traces.Frames} frame(s): bands can be seen but beats can't; shoot a clip of 5 s or more.")) { ForbidsPass = true },
        };
        if (rows < 32 || profile.Average() < 1e-4)
        {
            findings.Add(new Finding(FindingCodes.Dark, "Nothing bright enough or tall enough to measure.") { ForbidsPass = true });
            return Empty(take, format, findings, 1);
        }

        TakeMeasurement Nothing(double atMost) => Empty(
            take, format, [.. findings, .. TakeFindings.Collect(take, clock, null, [], CompressionLoss.Of(take.Traits, take.Level), atMost, take.Rate.Hertz, null, null, 0, take.Traces.Frames / take.Rate.Hertz, 0)], atMost);

        SeriesFit flat = SeriesFit.Of(profile, 0, 0);
        (double cyclesPerRow, SeriesFit fit) = Search(profile);
        double noise = Max(fit.Sigma, 1e-7);
        double significance = (flat.Rss - fit.Rss) / (fit.Sigma * fit.Sigma);
        bool agreed = Agree(strips, cyclesPerRow);
        double limit = Min(1, 8 * flat.Sigma);
        if (significance < 60 || fit.Rss > 0.5 * flat.Rss || !agreed)
            return Nothing(limit);

        if (cyclesPerRow * rows < FewestBands)
        {
            findings.Add(new Finding(FindingCodes.LockedBands, Invariant($"Only about {cyclesPerRow * rows:0.#} bands lie in the region: a single picture can't tell so few from the scene's own shading; choose a taller region or shoot a clip, in which bands move.")) { ForbidsPass = true });
            return Nothing(1);
        }

        double bandsPerHeight = cyclesPerRow * take.Traces.CodedHeight;
        // Rife & Boorstyn (1974) for a real tone, inflated for shading that the polynomial misses.
        double amplitude1 = fit.Amplitude(1);
        double deviation = 3 * Sqrt(24) * noise / (2 * PI * Max(amplitude1, 1e-6) * Pow(rows, 1.5)) * take.Traces.CodedHeight + 0.002;
        double[] hertz = [];
        double hertzDeviation = 0;
        if (take.Readout is { IsGlobal: false } readout)
        {
            double value = bandsPerHeight / Abs(readout.Seconds);
            hertz = [value];
            hertzDeviation = value * double.Hypot(deviation / bandsPerHeight, readout.RelativeDeviation);
        }
        var tones = new List<Tone>();
        for (int h = 1; h <= fit.Count; h++)
        {
            double a = fit.Amplitude(h), spread = Estimate.Coverage95 * noise * Sqrt(2.0 / rows) + 0.02 * a;
            if (h > 1 && a < 4 * noise * Sqrt(2.0 / rows) + 0.004 * amplitude1) continue;
            tones.Add(new Tone(
                new Estimate(0, -take.Rate.Hertz / 2, take.Rate.Hertz / 2), Estimate.Normal(bandsPerHeight * h, deviation * h),
                new Estimate(a, Max(0, a - spread), a + spread), fit.Phase(h),
                hertz.Length == 1 ? Estimate.Normal(hertz[0] * h, hertzDeviation * h) : null, [.. hertz.Select(f => f * h)], 0, h)
            { TimesLimit = a / limit });
        }
        IReadOnlyList<RecordedWaveform.Term> terms = [.. Enumerable.Range(1, fit.Count).Select(h => new RecordedWaveform.Term(Complex.FromPolarCoordinates(fit.Amplitude(h), fit.Phase(h)), h, 0, noise * Sqrt(2.0 / rows)))];
        RecordedWaveform.Shape shape = RecordedWaveform.Of(terms, []);
        double half = Estimate.Coverage95 * shape.DepthDeviation + 0.05 * shape.Depth + 0.002;
        tones = [.. tones.OrderByDescending(t => t.Amplitude.Value)];
        findings.AddRange(TakeFindings.Collect(take, clock, null, tones, CompressionLoss.Of(take.Traits, take.Level), limit, take.Rate.Hertz, null, null, 0, 10, 0));
        return new TakeMeasurement(format, take.Traces.Frames, take.Traces.Frames, take.Level,
            new Estimate(shape.Depth, Max(0, shape.Depth - half), Min(1, shape.Depth + half)),
            new Estimate(shape.FlickerIndex, Max(0, shape.FlickerIndex - half), Min(1, shape.FlickerIndex + half)),
            limit, take.Rate.Hertz, null, tones, findings)
        {
            Waveform = RecordedWaveform.OnePeriod(terms, 200),
            WaveformHalfWidth = Estimate.Coverage95 * noise * Sqrt(2.0 * fit.Count / rows),
            Exhibit = options.WithExhibit ? Exhibit(take, profile) : null,
        };
    }

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);

    private static TakeMeasurement Empty(SampledTake take, CameraFormat format, IReadOnlyList<Finding> findings, double limit) =>
        new(format, take.Traces.Frames, take.Traces.Frames, take.Level, Estimate.AtMost(limit), Estimate.AtMost(limit), limit, take.Rate.Hertz, limit, [], findings);

    private static double[][] Profiles(SampledTake take)
    {
        RowTraces traces = take.Traces;
        double[][] profiles = new double[traces.Strips][];
        for (int s = 0; s < traces.Strips; s++)
        {
            profiles[s] = new double[traces.Rows];
            ReadOnlySpan<float> strip = traces.Strip(s);
            for (int n = 0; n < traces.Frames; n++)
            {
                for (int r = 0; r < traces.Rows; r++) profiles[s][r] += (strip[n * traces.Rows + r] - (take.Reference?[s][r] ?? 0)) / traces.Frames;
            }
        }
        return profiles;
    }

    private static double[] Mean(double[][] profiles)
    {
        double[] mean = new double[profiles[0].Length];
        for (int r = 0; r < mean.Length; r++) mean[r] = profiles.Average(p => p[r]);
        return mean;
    }

    /// <summary>The band frequency (cycles per row) whose series explains most, from 1.2 bands in the region to a fifth of the rows.</summary>
    private static (double CyclesPerRow, SeriesFit Fit) Search(double[] profile)
    {
        int rows = profile.Length;
        double step = 0.1 / rows;
        (double best, double bestRss) = (0, double.PositiveInfinity);
        for (double nu = 1.2 / rows; nu < 0.2; nu += step)
        {
            double rss = SeriesFit.Of(profile, nu, 1).Rss;
            if (rss < bestRss) (best, bestRss) = (nu, rss);
        }
        int count = Max(1, Min(Overtones, (int)(0.45 / best)));
        double low = best - step, high = best + step, golden = (Sqrt(5) - 1) / 2;
        for (int i = 0; i < 40; i++)
        {
            double a = high - golden * (high - low), b = low + golden * (high - low);
            if (SeriesFit.Of(profile, a, count).Rss < SeriesFit.Of(profile, b, count).Rss) high = b;
            else low = a;
        }
        double nuBest = (low + high) / 2;
        return (nuBest, SeriesFit.Of(profile, nuBest, count));
    }

    private static bool Agree(double[][] strips, double cyclesPerRow)
    {
        Complex[] phasors = [.. strips.Where(p => p.Average() > 1e-4).Select(p =>
        {
            SeriesFit fit = SeriesFit.Of(p, cyclesPerRow, 1);
            return Complex.FromPolarCoordinates(fit.Amplitude(1), fit.Phase(1));
        })];
        if (phasors.Length == 0) return false;
        Complex sum = phasors.Aggregate(Complex.Zero, (a, b) => a + b);
        return sum.Magnitude > 0.9 * phasors.Sum(p => p.Magnitude);
    }

    private static TakeExhibit Exhibit(SampledTake take, double[] profile)
    {
        int rows = profile.Length;
        float[,] picture = new float[2, Min(rows, 400)];
        double mean = profile.Average();
        for (int i = 0; i < picture.GetLength(1); i++)
            picture[0, i] = picture[1, i] = (float)(profile[(int)((long)i * rows / picture.GetLength(1))] / mean - 1);
        double[] bands = [.. Enumerable.Range(2, Min(rows / 5, 400)).Select(i => i * 0.5)];
        double[] amplitude = [.. bands.Select(b => SeriesFit.Of(profile, b / rows, 1).Amplitude(1))];
        bool inHertz = take.Readout is { IsGlobal: false };
        double scale = (double)take.Traces.CodedHeight / rows / (inHertz ? Abs(take.Readout!.Seconds) : 1);
        return new TakeExhibit(picture, 1 / take.Rate.Hertz, [.. bands.Select(b => b * scale)], amplitude, inHertz);
    }

    /// <summary>Shading polynomial times one, plus a harmonic series times the mean level, by least squares.</summary>
    private sealed record SeriesFit(double Rss, double Sigma, double[] Series)
    {
        public int Count => Series.Length / 2;

        public double Amplitude(int h) => double.Hypot(Series[2 * h - 2], Series[2 * h - 1]);

        public double Phase(int h) => Atan2(-Series[2 * h - 1], Series[2 * h - 2]);

        public static SeriesFit Of(double[] profile, double cyclesPerRow, int count)
        {
            int rows = profile.Length, size = ShadingOrder + 1 + 2 * count;
            double[] buffer = new double[size];
            // Plain arrays: this runs for every row at every band frequency, and the matrix's own indexer takes five times as long.
            double[] sums = new double[size * size], projected = new double[size];
            double power = 0, mean = profile.Average();
            for (int r = 0; r < rows; r++)
            {
                double at = 2.0 * r / (rows - 1) - 1, y = profile[r] / mean;
                double term = 1;
                for (int c = 0; c <= ShadingOrder; c++, term *= at) buffer[c] = term;
                for (int h = 1; h <= count; h++)
                {
                    (double sin, double cos) = SinCos(2 * PI * cyclesPerRow * h * r);
                    (buffer[ShadingOrder + 2 * h - 1], buffer[ShadingOrder + 2 * h]) = (cos, sin);
                }
                for (int i = 0; i < size; i++)
                {
                    double own = buffer[i];
                    Span<double> line = sums.AsSpan(i * size, size);
                    for (int j = i; j < line.Length; j++) line[j] += own * buffer[j];
                    projected[i] += own * y;
                }
                power += y * y;
            }
            for (int i = 0; i < size; i++)
            {
                for (int j = 0; j < i; j++) sums[i * size + j] = sums[j * size + i];
            }
            var normal = Matrix<double>.Build.Dense(size, size, sums); // symmetric: rows are columns
            var right = Vector<double>.Build.Dense(projected);
            Vector<double> solution = normal.LU().Solve(right);
            double rss = Max(0, power - solution.DotProduct(right));
            // Series relative to the shading's mean.
            return new SeriesFit(rss, Sqrt(rss / Max(1, rows - size)), [.. solution.Skip(ShadingOrder + 1)]);
        }
    }
}
