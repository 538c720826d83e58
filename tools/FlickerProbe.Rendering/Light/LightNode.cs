using System.Numerics;
using static System.Math;

namespace FlickerProbe.Rendering.Light;

/// <summary>A waveform ready for arithmetic: its value, its exact integral and its spectral lines.</summary>
internal abstract class LightNode
{
    /// <summary>The mean over all time.</summary>
    public abstract double Mean { get; }

    /// <summary>Rate of the fastest smooth oscillation inside a piece, rad/s; 0 where pieces are straight lines.</summary>
    public abstract double SmoothRadiansPerSecond { get; }

    public abstract double At(double t, Clockwork clock);

    /// <summary>∫ L dt from a to b.</summary>
    public abstract double Integral(double a, double b, Clockwork clock);

    /// <summary>Adds every time strictly within (a, b) at which the light or its slope jumps.</summary>
    public abstract void AddBreakpoints(double a, double b, Clockwork clock, List<double> into);

    /// <summary>Complex Fourier lines by signed frequency (Hz), those below <paramref name="floor"/> left out.</summary>
    public abstract Dictionary<double, Complex> Lines(double floor, double topHz);

    /// <summary>The rhythms this light hangs on.</summary>
    public abstract void AddRhythms(ISet<int> into);

    /// <summary>
    /// ∫ L dt by Gauss–Legendre between breakpoints, pieces no longer than 2 rad of the fastest oscillation.
    /// The error term of the 12-point rule is then below rounding (2²⁵·(12!)⁴ / (25·(24!)³) ≈ 3e-31 of the
    /// amplitude), so this too is exact; it is the slow twin of the closed forms, and does what they cannot.
    /// </summary>
    public double IntegralByPieces(double a, double b, Clockwork clock)
    {
        List<double> breaks = _breaks ??= [];
        breaks.Clear();
        breaks.Add(a);
        AddBreakpoints(a, b, clock, breaks);
        breaks.Add(b);
        breaks.Sort();
        double rate = SmoothRadiansPerSecond, sum = 0;
        for (int i = 1; i < breaks.Count; i++)
        {
            double left = breaks[i - 1], width = breaks[i] - left;
            if (width <= 0) continue;
            int parts = Max(1, (int)Ceiling(width * rate / 2));
            double h = width / parts / 2;
            for (int p = 0; p < parts; p++)
            {
                double mid = left + (2 * p + 1) * h, inner = 0;
                for (int k = 0; k < 6; k++)
                {
                    double d = h * GaussNode[k];
                    inner += GaussWeight[k] * (At(mid - d, clock) + At(mid + d, clock));
                }

                sum += inner * h;
            }
        }

        return sum;
    }

    [ThreadStatic]
    private static List<double>? _breaks; // kept from call to call, for speed

    // Abramowitz & Stegun, table 25.4, n = 12.
    private static readonly double[] GaussNode =
        [0.125233408511469, 0.367831498998180, 0.587317954286617, 0.769902674194305, 0.904117256370475, 0.981560634246719];

    private static readonly double[] GaussWeight =
        [0.249147045813403, 0.233492536538355, 0.203167426723066, 0.160078328543346, 0.106939325995318, 0.047175336386512];
}

internal sealed class SteadyNode(double output) : LightNode
{
    public override double Mean => output;
    public override double SmoothRadiansPerSecond => 0;
    public override double At(double t, Clockwork clock) => output;
    public override double Integral(double a, double b, Clockwork clock) => output * (b - a);
    public override void AddBreakpoints(double a, double b, Clockwork clock, List<double> into) { }
    public override Dictionary<double, Complex> Lines(double floor, double topHz) => new() { [0] = output };
    public override void AddRhythms(ISet<int> into) { }
}

internal sealed class TonesNode(double mean, double fundamentalHz, IReadOnlyList<Harmonic> harmonics, int rhythm) : LightNode
{
    private readonly double _fastest = 2 * PI * fundamentalHz * (harmonics.Count == 0 ? 0 : harmonics.Max(h => h.Order));

    public int Rhythm => rhythm;
    public double FundamentalHz => fundamentalHz;
    public IReadOnlyList<Harmonic> Harmonics => harmonics;
    public override double Mean => mean;
    public override double SmoothRadiansPerSecond => _fastest;

    public override double At(double t, Clockwork clock)
    {
        double u = clock.OffsetSeconds[rhythm] + clock.Rate[rhythm] * t, sum = mean;
        for (int i = 0; i < harmonics.Count; i++)
        {
            Harmonic h = harmonics[i];
            sum += h.Amplitude * Cos(2 * PI * h.Order * fundamentalHz * u + h.PhaseRadians);
        }

        return sum;
    }

    public override double Integral(double a, double b, Clockwork clock)
    {
        double rate = clock.Rate[rhythm], width = b - a;
        double mid = clock.OffsetSeconds[rhythm] + rate * (a + b) / 2, sum = mean * width;
        for (int i = 0; i < harmonics.Count; i++)
        {
            Harmonic h = harmonics[i];
            double w = 2 * PI * h.Order * fundamentalHz;
            // ∫ cos over a window = width · sinc · cos at its middle: no difference of two near-equal sines.
            double half = w * rate * width / 2;
            double sinc = Abs(half) < 1e-4 ? 1 - half * half / 6 : Sin(half) / half;
            sum += h.Amplitude * width * sinc * Cos(w * mid + h.PhaseRadians);
        }

        return sum;
    }

    public override void AddBreakpoints(double a, double b, Clockwork clock, List<double> into) { }

    public override Dictionary<double, Complex> Lines(double floor, double topHz)
    {
        Dictionary<double, Complex> lines = new() { [0] = mean };
        foreach (Harmonic h in harmonics)
        {
            double f = h.Order * fundamentalHz;
            if (f > topHz) continue;
            Complex half = Complex.FromPolarCoordinates(h.Amplitude / 2, h.PhaseRadians);
            lines[f] = lines.GetValueOrDefault(f) + half;
            lines[-f] = lines.GetValueOrDefault(-f) + Complex.Conjugate(half);
        }

        return lines;
    }

    public override void AddRhythms(ISet<int> into) => into.Add(rhythm);
}

/// <summary>A periodic polyline; pulses are polylines too.</summary>
internal sealed class PolylineNode : LightNode
{
    private readonly double _period; // s
    private readonly int _rhythm;
    private readonly double[] _start, _end, _level, _slope, _before; // per segment; _before: ∫ from 0 to its start
    private readonly double _area; // ∫ over one period
    private double _cachedOmega = double.NaN;
    private Complex _cachedPeriod;

    /// <param name="points">(own time within a period, level), times from 0 to the period inclusive and not falling.</param>
    public PolylineNode(double frequencyHz, IReadOnlyList<(double Time, double Level)> points, int rhythm)
    {
        _period = 1 / frequencyHz;
        _rhythm = rhythm;
        List<(double Start, double End, double Level, double Slope)> segments = [];
        for (int i = 1; i < points.Count; i++)
        {
            double width = points[i].Time - points[i - 1].Time;
            if (width < 0) throw new ArgumentException("The points of a polyline must not run back in time.");
            if (width > 0)
                segments.Add((points[i - 1].Time, points[i].Time, points[i - 1].Level, (points[i].Level - points[i - 1].Level) / width));
        }

        _start = [.. segments.Select(s => s.Start)];
        _end = [.. segments.Select(s => s.End)];
        _level = [.. segments.Select(s => s.Level)];
        _slope = [.. segments.Select(s => s.Slope)];
        _before = new double[segments.Count];
        double sum = 0;
        for (int i = 0; i < segments.Count; i++)
        {
            _before[i] = sum;
            double w = _end[i] - _start[i];
            sum += w * (_level[i] + _slope[i] * w / 2);
        }

        _area = sum;
    }

    public int Rhythm => _rhythm;
    public double PeriodSeconds => _period;
    public override double Mean => _area / _period;
    public override double SmoothRadiansPerSecond => 0;
    public override void AddRhythms(ISet<int> into) => into.Add(_rhythm);

    public override double At(double t, Clockwork clock)
    {
        double u = clock.OffsetSeconds[_rhythm] + clock.Rate[_rhythm] * t;
        double within = u - Floor(u / _period) * _period;
        int i = SegmentAt(within);
        return _level[i] + _slope[i] * (within - _start[i]);
    }

    public override double Integral(double a, double b, Clockwork clock)
    {
        double rate = clock.Rate[_rhythm], ua = clock.OffsetSeconds[_rhythm] + rate * a, ub = clock.OffsetSeconds[_rhythm] + rate * b;
        // Counting from the period of the start keeps the numbers small, however long the clip.
        double first = Floor(ua / _period);
        return (AreaTo(ub - first * _period) - AreaTo(ua - first * _period)) / rate;
    }

    /// <summary>∫ polyline(t) · cos(ωt + φ) dt from a to b, in closed form: whole periods are a geometric series.</summary>
    public double IntegralTimesCosine(double a, double b, double omega, double phase, Clockwork clock)
    {
        double offset = clock.OffsetSeconds[_rhythm], rate = clock.Rate[_rhythm];
        double ua = offset + rate * a, ub = offset + rate * b, first = Floor(ua / _period) * _period;
        // t = (u − offset) / rate, and v = u − first.
        double w = omega / rate, p = phase - w * offset + w * first;
        if (w != _cachedOmega)
        {
            _cachedOmega = w;
            _cachedPeriod = Partial(_period, w);
        }

        Complex moment = Moment(ub - first, w) - Moment(ua - first, w);
        return (moment * Complex.FromPolarCoordinates(1, p)).Real / rate;
    }

    public override void AddBreakpoints(double a, double b, Clockwork clock, List<double> into)
    {
        double offset = clock.OffsetSeconds[_rhythm], rate = clock.Rate[_rhythm];
        double ua = offset + rate * a, ub = offset + rate * b;
        for (double n = Floor(ua / _period); n * _period <= ub; n++)
        {
            for (int i = 0; i < _start.Length; i++)
            {
                double t = (n * _period + _start[i] - offset) / rate;
                if (t > a && t < b) into.Add(t);
            }
        }
    }

    public override Dictionary<double, Complex> Lines(double floor, double topHz)
    {
        Dictionary<double, Complex> lines = new() { [0] = Mean };
        int most = (int)Min(4000, topHz * _period);
        for (int k = 1; k <= most; k++)
        {
            double f = k / _period;
            // c_k = (1/P) ∫ L e^{−jωt} dt, the conjugate of the moment with e^{+jωt}.
            Complex c = Complex.Conjugate(Partial(_period, 2 * PI * f)) / _period;
            if (2 * c.Magnitude < floor) continue;
            lines[f] = c;
            lines[-f] = Complex.Conjugate(c);
        }

        return lines;
    }

    private int SegmentAt(double within)
    {
        int i = 0;
        while (i < _end.Length - 1 && within >= _end[i]) i++;
        return i;
    }

    private double AreaTo(double u)
    {
        double whole = Floor(u / _period), within = u - whole * _period;
        int i = SegmentAt(within);
        double w = within - _start[i];
        return whole * _area + _before[i] + w * (_level[i] + _slope[i] * w / 2);
    }

    /// <summary>∫ from 0 to v of polyline(u) e^{jωu} du, v ≥ 0.</summary>
    private Complex Moment(double v, double omega)
    {
        double whole = Floor(v / _period), within = v - whole * _period;
        Complex partial = Partial(within, omega);
        if (whole == 0) return partial;
        // Σ e^{jωnP}, n = 0 … N − 1, = e^{jx(N−1)} sin(Nx)/sin(x), x = ωP/2; N where x is a multiple of π.
        double x = omega * _period / 2, d = IEEERemainder(x, PI);
        double ratio;
        if (Abs(d) < 1e-9)
        {
            ratio = whole * (((long)whole & 1) == 1 || Abs(IEEERemainder(x, 2 * PI)) < 1 ? 1 : -1);
        }
        else
        {
            ratio = Sin(whole * x) / Sin(x);
        }

        return _cachedPeriod * ratio * Complex.FromPolarCoordinates(1, x * (whole - 1)) + Complex.FromPolarCoordinates(1, omega * whole * _period) * partial;
    }

    /// <summary>∫ from 0 to <paramref name="within"/> of one period's polyline times e^{jωu}.</summary>
    private Complex Partial(double within, double omega)
    {
        Complex sum = 0;
        for (int i = 0; i < _start.Length && _start[i] < within; i++)
        {
            double w = Min(_end[i], within) - _start[i];
            sum += Complex.FromPolarCoordinates(1, omega * _start[i]) * LineTimesRotation(_level[i], _slope[i], w, omega);
        }

        return sum;
    }

    /// <summary>∫ from 0 to w of (level + slope·x) e^{jωx} dx.</summary>
    private static Complex LineTimesRotation(double level, double slope, double w, double omega)
    {
        double theta = omega * w;
        if (Abs(theta) < 1e-2)
        {
            // Σ (jωw)^n / n! · w · (level/(n+1) + slope·w/(n+2)): six terms reach rounding at θ = 0.01.
            Complex sum = 0, power = 1;
            for (int n = 0; n < 7; n++)
            {
                sum += power * (level / (n + 1) + slope * w / (n + 2));
                power *= new Complex(0, theta) / (n + 1);
            }

            return sum * w;
        }

        Complex jw = new(0, omega), turn = Complex.FromPolarCoordinates(1, theta);
        // By parts: [(level + slope·x) e/jω − slope e/(jω)²] from 0 to w.
        return ((level + slope * w) * turn - level) / jw - slope * (turn - 1) / (jw * jw);
    }
}

internal sealed class RectifiedNode(double mainsHz, bool fullWave, double phaseCycles, int rhythm) : LightNode
{
    private readonly double _mains = 1 / mainsHz; // s

    public override double Mean => fullWave ? 2 / PI : 1 / PI;
    public override double SmoothRadiansPerSecond => 2 * PI * mainsHz;
    public override void AddRhythms(ISet<int> into) => into.Add(rhythm);

    public override double At(double t, Clockwork clock)
    {
        double s = Sin(2 * PI * Cycles(t, clock));
        return fullWave ? Abs(s) : Max(0, s);
    }

    public override double Integral(double a, double b, Clockwork clock)
    {
        double ca = Cycles(a, clock), cb = Cycles(b, clock), first = Floor(ca);
        return (AreaTo(cb - first) - AreaTo(ca - first)) * _mains / clock.Rate[rhythm];
    }

    public override void AddBreakpoints(double a, double b, Clockwork clock, List<double> into)
    {
        double offset = clock.OffsetSeconds[rhythm], rate = clock.Rate[rhythm];
        for (double k = Ceiling(2 * Cycles(a, clock)); k <= 2 * Cycles(b, clock); k++)
        {
            double t = ((k / 2 - phaseCycles) * _mains - offset) / rate;
            if (t > a && t < b) into.Add(t);
        }
    }

    public override Dictionary<double, Complex> Lines(double floor, double topHz)
    {
        Dictionary<double, Complex> lines = new() { [0] = Mean };
        // |sin x| = 2/π − (4/π) Σ cos(2mx)/(4m²−1); half wave: 1/π + sin(x)/2 − (2/π) Σ cos(2mx)/(4m²−1).
        double scale = fullWave ? 4 / PI : 2 / PI;
        if (!fullWave) Add(mainsHz, Complex.FromPolarCoordinates(0.25, 2 * PI * phaseCycles - PI / 2));
        for (int m = 1; 2 * m * mainsHz <= topHz; m++)
        {
            double a = scale / (4.0 * m * m - 1);
            if (a < floor) break;
            Add(2 * m * mainsHz, Complex.FromPolarCoordinates(a / 2, 2 * PI * 2 * m * phaseCycles + PI));
        }

        return lines;

        void Add(double f, Complex c)
        {
            lines[f] = c;
            lines[-f] = Complex.Conjugate(c);
        }
    }

    /// <summary>∫ of this times a polyline: sine by sine, each with its sign, in the polyline's closed form.</summary>
    public double IntegralTimes(PolylineNode polyline, double a, double b, Clockwork clock)
    {
        double offset = clock.OffsetSeconds[rhythm], rate = clock.Rate[rhythm], sum = 0;
        double omega = 2 * PI * mainsHz * rate, phase = 2 * PI * (mainsHz * offset + phaseCycles) - PI / 2; // sin as a cosine
        double from = a;
        for (double k = Floor(2 * Cycles(a, clock)); from < b; k++)
        {
            double to = Min(b, (((k + 1) / 2 - phaseCycles) * _mains - offset) / rate);
            bool positive = IEEERemainder(k, 2) == 0;
            if (to > from && (positive || fullWave)) sum += (positive ? 1 : -1) * polyline.IntegralTimesCosine(from, to, omega, phase, clock);
            from = Max(from, to);
        }

        return sum;
    }

    private double Cycles(double t, Clockwork clock) =>
        (clock.OffsetSeconds[rhythm] + clock.Rate[rhythm] * t) * mainsHz + phaseCycles;

    /// <summary>∫ from 0 to <paramref name="cycles"/> mains cycles, in cycles.</summary>
    private double AreaTo(double cycles)
    {
        double whole = Floor(cycles), within = cycles - whole; // 0…1
        double first = (1 - Cos(2 * PI * Min(within, 0.5))) / (2 * PI);
        double second = fullWave && within > 0.5 ? (1 - Cos(2 * PI * (within - 0.5))) / (2 * PI) : 0;
        return whole * Mean + first + second;
    }
}

internal sealed class SumNode(IReadOnlyList<LightNode> parts) : LightNode
{
    public override double Mean => parts.Sum(p => p.Mean);
    public override double SmoothRadiansPerSecond => parts.Max(p => p.SmoothRadiansPerSecond);

    public override double At(double t, Clockwork clock)
    {
        double sum = 0;
        for (int i = 0; i < parts.Count; i++) sum += parts[i].At(t, clock);
        return sum;
    }

    public override double Integral(double a, double b, Clockwork clock)
    {
        double sum = 0;
        for (int i = 0; i < parts.Count; i++) sum += parts[i].Integral(a, b, clock);
        return sum;
    }

    public override void AddBreakpoints(double a, double b, Clockwork clock, List<double> into)
    {
        foreach (LightNode p in parts) p.AddBreakpoints(a, b, clock, into);
    }

    public override Dictionary<double, Complex> Lines(double floor, double topHz)
    {
        Dictionary<double, Complex> sum = [];
        foreach (LightNode p in parts)
        {
            foreach ((double f, Complex c) in p.Lines(floor, topHz)) sum[f] = sum.GetValueOrDefault(f) + c;
        }

        return sum;
    }

    public override void AddRhythms(ISet<int> into)
    {
        foreach (LightNode p in parts) p.AddRhythms(into);
    }
}

internal sealed class ProductNode : LightNode
{
    private readonly double _factor; // the steady ones, multiplied out
    private readonly IReadOnlyList<LightNode> _parts; // the rest
    private readonly double _mean;
    private readonly TonesNode? _tones;
    private readonly RectifiedNode? _rectified;
    private readonly PolylineNode? _polyline;

    public ProductNode(IReadOnlyList<LightNode> parts)
    {
        _factor = parts.OfType<SteadyNode>().Aggregate(1.0, (product, s) => product * s.Mean);
        _parts = [.. parts.Where(p => p is not SteadyNode)];
        if (_parts.Count == 2)
        {
            _tones = _parts.OfType<TonesNode>().FirstOrDefault();
            _rectified = _parts.OfType<RectifiedNode>().FirstOrDefault();
            _polyline = _parts.OfType<PolylineNode>().FirstOrDefault();
        }

        // The zero line; of independent rhythms simply the product of the means, of linked ones more than that.
        _mean = Linked() ? Lines(0, 200_000)[0].Real : _factor * _parts.Aggregate(1.0, (product, p) => product * p.Mean);
    }

    public override double Mean => _mean;
    public override double SmoothRadiansPerSecond => _parts.Sum(p => p.SmoothRadiansPerSecond);

    public override double At(double t, Clockwork clock)
    {
        double product = _factor;
        for (int i = 0; i < _parts.Count; i++) product *= _parts[i].At(t, clock);
        return product;
    }

    public override double Integral(double a, double b, Clockwork clock)
    {
        if (_parts.Count == 0) return _factor * (b - a);
        if (_parts.Count == 1) return _factor * _parts[0].Integral(a, b, clock);
        if (_polyline is not null && _rectified is not null) return _factor * _rectified.IntegralTimes(_polyline, a, b, clock);
        if (_tones is null || _polyline is null) return IntegralByPieces(a, b, clock);

        double sum = _tones.Mean * _polyline.Integral(a, b, clock);
        double offset = clock.OffsetSeconds[_tones.Rhythm], rate = clock.Rate[_tones.Rhythm];
        for (int i = 0; i < _tones.Harmonics.Count; i++)
        {
            Harmonic h = _tones.Harmonics[i];
            double w = 2 * PI * h.Order * _tones.FundamentalHz;
            sum += h.Amplitude * _polyline.IntegralTimesCosine(a, b, w * rate, w * offset + h.PhaseRadians, clock);
        }

        return _factor * sum;
    }

    public override void AddBreakpoints(double a, double b, Clockwork clock, List<double> into)
    {
        foreach (LightNode p in _parts) p.AddBreakpoints(a, b, clock, into);
    }

    public override Dictionary<double, Complex> Lines(double floor, double topHz)
    {
        Dictionary<double, Complex> product = new() { [0] = _factor };
        foreach (LightNode p in _parts)
        {
            Dictionary<double, Complex> next = [];
            Dictionary<double, Complex> lines = p.Lines(floor, topHz);
            foreach ((double f, Complex c) in product)
            {
                foreach ((double g, Complex d) in lines)
                {
                    // Lines a nanohertz apart are one line: they differ by rounding alone.
                    double sum = Round(f + g, 9);
                    if (Abs(sum) <= topHz) next[sum] = next.GetValueOrDefault(sum) + c * d;
                }
            }

            product = next;
        }

        return product;
    }

    public override void AddRhythms(ISet<int> into)
    {
        foreach (LightNode p in _parts) p.AddRhythms(into);
    }

    private bool Linked()
    {
        HashSet<int> seen = [];
        foreach (LightNode p in _parts)
        {
            HashSet<int> own = [];
            p.AddRhythms(own);
            if (own.Overlaps(seen)) return true;
            seen.UnionWith(own);
        }

        return false;
    }
}
