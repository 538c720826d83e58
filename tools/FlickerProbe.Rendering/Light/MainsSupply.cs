namespace FlickerProbe.Rendering.Light;

/// <summary>How the mains strays from its nominal frequency over the clip.</summary>
/// <remarks>
/// The supply's own time u(t) = ∫ f(t)/f₀ dt replaces t for every mains-locked waveform. f(t) = f₀ + offset +
/// Σ A cos(2πt/P + φ). Within one exposure u is taken as a straight line, which for 0.1 Hz over 10 s is in error
/// by less than 1e-6 of a cycle.
/// </remarks>
public sealed record MainsSupply
{
    /// <summary>The nominal frequency that mains-locked waveforms are written for, Hz.</summary>
    public double NominalHz { get; init; } = 50;

    /// <summary>Constant deviation, Hz of mains; a 2× ripple moves by twice this.</summary>
    public double OffsetHz { get; init; }

    /// <summary>Slow swings about nominal plus offset.</summary>
    public IReadOnlyList<MainsSwing> Swings { get; init; } = [];

    /// <summary>f(t)/f₀: how fast the supply's time runs at <paramref name="seconds"/>.</summary>
    public double Rate(double seconds)
    {
        double deviation = OffsetHz; // Hz
        foreach (MainsSwing s in Swings)
            deviation += s.AmplitudeHz * Math.Cos(2 * Math.PI * seconds / s.PeriodSeconds + s.PhaseRadians);
        return 1 + deviation / NominalHz;
    }

    /// <summary>u(t), s: the supply's own time, zero at t = 0.</summary>
    public double OwnTime(double seconds)
    {
        double cycles = OffsetHz * seconds; // beyond nominal
        foreach (MainsSwing s in Swings)
        {
            double w = 2 * Math.PI / s.PeriodSeconds;
            cycles += s.AmplitudeHz / w * (Math.Sin(w * seconds + s.PhaseRadians) - Math.Sin(s.PhaseRadians));
        }

        return seconds + cycles / NominalHz;
    }
}

/// <summary>One slow sinusoidal swing of the mains frequency.</summary>
/// <param name="AmplitudeHz">Peak deviation, Hz of mains.</param>
/// <param name="PeriodSeconds">Period of the swing, s.</param>
/// <param name="PhaseRadians">Phase at time zero, rad.</param>
public sealed record MainsSwing(double AmplitudeHz, double PeriodSeconds, double PhaseRadians = 0);
