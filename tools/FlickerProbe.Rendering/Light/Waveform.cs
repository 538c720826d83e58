using System.Text.Json.Serialization;

namespace FlickerProbe.Rendering.Light;

/// <summary>The light output of one driver over time, in any linear unit; only ratios matter.</summary>
/// <remarks>
/// A waveform is data: it can be written to JSON and read back. <see cref="Luminaire"/> turns it into numbers.
/// Every leaf is strictly periodic. A leaf locked to the mains follows the mains when that drifts; any other
/// leaf runs from its own crystal. Time zero is the start of the clip; a cosine has phase zero at its maximum.
/// </remarks>
[JsonPolymorphic(TypeDiscriminatorPropertyName = "kind")]
[JsonDerivedType(typeof(SteadyLight), "steady")]
[JsonDerivedType(typeof(TonesLight), "tones")]
[JsonDerivedType(typeof(PulseLight), "pulse")]
[JsonDerivedType(typeof(PolylineLight), "polyline")]
[JsonDerivedType(typeof(RectifiedLight), "rectified")]
[JsonDerivedType(typeof(ProductLight), "multiply")]
[JsonDerivedType(typeof(SumLight), "add")]
public abstract record Waveform
{
    /// <summary>1 + depth · cos(2πft + φ): a light with one sine of ripple.</summary>
    public static Waveform Sine(double frequencyHz, double depth, double phaseRadians = 0, bool mainsLocked = false) =>
        new TonesLight
        {
            FundamentalHz = frequencyHz,
            MainsLocked = mainsLocked,
            Harmonics = [new Harmonic(1, depth, phaseRadians)],
        };

    /// <summary>1 + Σ a cos(2πft + φ), the frequencies free of any relation to one another.</summary>
    public static Waveform Tones(params (double FrequencyHz, double Amplitude, double PhaseRadians)[] tones) =>
        new SumLight
        {
            Parts =
            [
                new SteadyLight(),
                .. tones.Select(t => new TonesLight
                {
                    Mean = 0,
                    FundamentalHz = t.FrequencyHz,
                    Harmonics = [new Harmonic(1, t.Amplitude, t.PhaseRadians)],
                }),
            ],
        };

    /// <summary>This light with every mains-locked rhythm running <paramref name="rate"/> times as fast.</summary>
    public Waveform WithMainsAt(double rate) => WithEachLeaf(leaf => leaf switch
    {
        TonesLight { MainsLocked: true } t => t with { FundamentalHz = t.FundamentalHz * rate },
        PulseLight { MainsLocked: true } p => p with { FrequencyHz = p.FrequencyHz * rate },
        PolylineLight { MainsLocked: true } p => p with { FrequencyHz = p.FrequencyHz * rate },
        RectifiedLight { MainsLocked: true } r => r with { MainsHz = r.MainsHz * rate },
        _ => leaf,
    });

    /// <summary>This light with each of its leaves, the waveforms that hold no others, put through <paramref name="change"/>.</summary>
    public Waveform WithEachLeaf(Func<Waveform, Waveform> change) => this switch
    {
        ProductLight p => p with { Parts = [.. p.Parts.Select(q => q.WithEachLeaf(change))] },
        SumLight s => s with { Parts = [.. s.Parts.Select(q => q.WithEachLeaf(change))] },
        _ => change(this),
    };

    /// <summary>This light with its output scaled by <paramref name="factor"/>.</summary>
    public Waveform Times(double factor) => new ProductLight { Parts = [this, new SteadyLight { Output = factor }] };

    /// <summary>This light pulsed or rippled by another: the outputs multiply.</summary>
    public Waveform Times(Waveform other) => new ProductLight { Parts = [this, other] };
}

/// <summary>Light that does not change: <see cref="Output"/> at all times.</summary>
public sealed record SteadyLight : Waveform
{
    /// <summary>The constant output, relative.</summary>
    public double Output { get; init; } = 1;
}

/// <summary>One member of a harmonic series: a · cos(2π · order · f · t + φ).</summary>
/// <param name="Order">1 for the fundamental, 2 for twice its frequency…</param>
/// <param name="Amplitude">Amplitude in the unit of <see cref="TonesLight.Mean"/>: with a mean of 1, relative to it.</param>
/// <param name="PhaseRadians">Phase at time zero, rad; 0 is a maximum.</param>
public sealed record Harmonic(int Order, double Amplitude, double PhaseRadians = 0);

/// <summary>A mean level with a harmonic series on it: mean + Σ a_k cos(2π k f t + φ_k).</summary>
public sealed record TonesLight : Waveform
{
    /// <summary>The frequency of order 1, Hz.</summary>
    public required double FundamentalHz { get; init; }

    /// <summary>The mean level; 1 makes the harmonic amplitudes relative ones.</summary>
    public double Mean { get; init; } = 1;

    /// <summary>The series, in any order.</summary>
    public IReadOnlyList<Harmonic> Harmonics { get; init; } = [];

    /// <summary>Whether the series follows the mains when that drifts.</summary>
    public bool MainsLocked { get; init; }
}

/// <summary>A pulse train (PWM): <see cref="High"/> for a share <see cref="Duty"/> of each period, else <see cref="Low"/>.</summary>
/// <remarks>With edges, the pulse is a trapezoid whose width at half height is duty / frequency, so the mean stays the same.</remarks>
public sealed record PulseLight : Waveform
{
    /// <summary>Pulses per second, Hz.</summary>
    public required double FrequencyHz { get; init; }

    /// <summary>Share of the period at <see cref="High"/>, measured at half height, 0…1.</summary>
    public required double Duty { get; init; }

    /// <summary>Output between pulses.</summary>
    public double Low { get; init; }

    /// <summary>Output within a pulse.</summary>
    public double High { get; init; } = 1;

    /// <summary>Time a linear rise takes, and a fall, s. 0: upright edges.</summary>
    public double EdgeSeconds { get; init; }

    /// <summary>Where in its period the train stands at time zero, in cycles; 0: half way up a rising edge.</summary>
    public double PhaseCycles { get; init; }

    /// <summary>Whether the train follows the mains when that drifts.</summary>
    public bool MainsLocked { get; init; }
}

/// <summary>A periodic waveform given as a table: straight lines between points of one period.</summary>
public sealed record PolylineLight : Waveform
{
    /// <summary>Periods per second, Hz.</summary>
    public required double FrequencyHz { get; init; }

    /// <summary>The points (cycle 0…1, output), cycles not falling; equal cycles make an upright edge; the last point joins the first one a period later.</summary>
    public required IReadOnlyList<CyclePoint> Points { get; init; }

    /// <summary>Whether the waveform follows the mains when that drifts.</summary>
    public bool MainsLocked { get; init; }
}

/// <summary>One point of a <see cref="PolylineLight"/>.</summary>
/// <param name="Cycle">Place in the period, 0…1.</param>
/// <param name="Output">Output there.</param>
public sealed record CyclePoint(double Cycle, double Output);

/// <summary>Light that follows the rectified mains: |sin| (100 or 120 pulses a second) or the positive half waves alone.</summary>
public sealed record RectifiedLight : Waveform
{
    /// <summary>Mains frequency, Hz; full-wave light pulses at twice this.</summary>
    public required double MainsHz { get; init; }

    /// <summary>True: |sin|; false: only the positive half waves.</summary>
    public bool FullWave { get; init; } = true;

    /// <summary>Where in the mains period the light stands at time zero, cycles; 0: a rising zero crossing.</summary>
    public double PhaseCycles { get; init; }

    /// <summary>Whether the light follows the mains when that drifts; true of the real thing.</summary>
    public bool MainsLocked { get; init; } = true;
}

/// <summary>The product of several waveforms: a dimmer's pulses on a rippling supply.</summary>
public sealed record ProductLight : Waveform
{
    /// <summary>The factors.</summary>
    public required IReadOnlyList<Waveform> Parts { get; init; }
}

/// <summary>The sum of several waveforms: emitters with a driver each.</summary>
public sealed record SumLight : Waveform
{
    /// <summary>The terms.</summary>
    public required IReadOnlyList<Waveform> Parts { get; init; }
}
