using FlickerProbe.Camera;
using FlickerProbe.Units;

namespace FlickerProbe.Light;

/// <summary>How well one component of a light is known.</summary>
public enum ComponentState
{
    /// <summary>Frequency and amplitude known.</summary>
    Resolved,
    /// <summary>Several frequencies fit.</summary>
    Ambiguous,
    /// <summary>Too near a null of the shutter: only an upper bound of its amplitude.</summary>
    Hidden,
}

/// <summary>One cosine of the light itself, before any camera.</summary>
/// <param name="FrequencyHz">True frequency in hertz; for an ambiguous component the first of the candidates.</param>
/// <param name="Amplitude">Amplitude a relative to the mean light, 0…2.</param>
/// <param name="PhaseRadians">Phase of the cosine at the time origin shared by the components of one group; null when unknown.</param>
/// <param name="State">How well it is known.</param>
/// <param name="CandidatesHz">All frequencies that remain, ascending.</param>
/// <param name="Group">Components with the same number are overtones of one fundamental and their phases belong together; null when alone.</param>
/// <param name="HarmonicNumber">1 for the fundamental of the group; null when unknown.</param>
public sealed record LightComponent(
    Estimate FrequencyHz,
    Estimate Amplitude,
    double? PhaseRadians,
    ComponentState State,
    IReadOnlyList<double> CandidatesHz,
    int? Group,
    int? HarmonicNumber)
{
    /// <summary>How far the true frequency may lie from the candidate that it is, hertz (95 %); null where one remains, or nobody says: then as far as the candidates reach.</summary>
    public double? CandidateHalfWidthHz { get; init; }
}

/// <summary>What is known of one light at one dimmer level, from all its takes together.</summary>
/// <param name="FundamentalHz">Lowest frequency of the strongest group when resolved, else null.</param>
/// <param name="CandidatesHz">Candidates of the fundamental; one entry when resolved, none when nothing was found.</param>
/// <param name="ModulationDepth">Depth of the source's waveform, 0…1; null when the exposure is unknown or the waveform hidden.</param>
/// <param name="FlickerIndex">Flicker index of the source's waveform, 0…1; null likewise.</param>
/// <param name="Components">Components, largest first.</param>
/// <param name="Blind">What the takes could not have shown; forecasts add it as a bound.</param>
public sealed record LightEstimate(
    Estimate? FundamentalHz,
    IReadOnlyList<double> CandidatesHz,
    Estimate? ModulationDepth,
    Estimate? FlickerIndex,
    IReadOnlyList<LightComponent> Components,
    IReadOnlyList<BlindSpot> Blind)
{
    /// <summary>Doubts that arise only when the takes are put together, such as contradicting takes.</summary>
    public IReadOnlyList<Measurement.Finding> Findings { get; init; } = [];
}

/// <summary>What one take could not have shown: at frequency f an amplitude up to limit / |G(f)| might be there.</summary>
/// <param name="DetectionLimit">Smallest on-camera amplitude the take could show of light whose bands move.</param>
/// <param name="Rate">The take's frame rate: near its multiples locked bands may hide.</param>
/// <param name="ExposureSeconds">The take's exposure; null when unknown (then nothing is known of other exposures).</param>
/// <param name="ReadoutSeconds">The take's readout; null when unknown.</param>
/// <param name="SlowestBeatHz">Beats slower than this are not covered by the limit.</param>
/// <param name="LockedBound">On-camera amplitude that locked bands might have; null when excluded.</param>
public sealed record BlindSpot(
    double DetectionLimit, FrameRate Rate, double? ExposureSeconds, double? ReadoutSeconds, double SlowestBeatHz, double? LockedBound)
{
    /// <summary>On-camera amplitude that light repeating with the mains itself might have where it stands still at the take's rate; null when excluded.</summary>
    public double? HalfWaveBound { get; init; }

    /// <summary>Light that would stand in so many bands that less of it could hide; null where that is not known.</summary>
    public FineBands? FineBands { get; init; }

    /// <summary>On-camera amplitude that light of this frequency, in hertz, might have where it stands still.</summary>
    public double StandingAt(double hertz) =>
        LockedBound is not { } bound ? 0 : FineBands is { } fine && fine.Holds(hertz) ? Math.Min(bound, fine.Bound) : bound;

    /// <summary>Smallest on-camera amplitude the take could show whatever the light's rate.</summary>
    public double LimitAtAnyRate => Math.Max(DetectionLimit, LockedBound ?? 0);
}

/// <summary>What may stand still in bands too fine to be taken for the scene's shading.</summary>
/// <param name="Bound">On-camera amplitude not exceeded (95 %).</param>
/// <param name="FromHz">Light slower than this makes too few bands, hertz.</param>
/// <param name="ToHz">Light faster than this makes more bands than the rows tell apart, hertz.</param>
public sealed record FineBands(double Bound, double FromHz, double ToHz)
{
    /// <summary>Whether light of this frequency, in hertz, would stand in such bands.</summary>
    public bool Holds(double hertz) => hertz >= FromHz && hertz <= ToHz;
}
