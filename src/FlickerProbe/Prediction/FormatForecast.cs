using FlickerProbe.Camera;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Prediction;

/// <summary>In what way flicker shows in the picture.</summary>
public enum Appearance
{
    /// <summary>Nothing above the bound.</summary>
    Nothing,
    /// <summary>The whole picture pulses.</summary>
    Pulsing,
    /// <summary>Bands that move through the picture.</summary>
    RollingBands,
    /// <summary>Bands that stand still.</summary>
    StandingBands,
    /// <summary>Bands that move, or the whole picture pulsing: the readout is unknown.</summary>
    RollingOrPulsing,
    /// <summary>Bands of which nobody can tell whether they move: a still picture.</summary>
    Bands,
}

/// <summary>What a light will show on a camera set to one format.</summary>
/// <param name="Format">The format asked for.</param>
/// <param name="ModulationDepth">On-camera depth, 0…1, 95 % interval; the worst of the remaining candidates; hidden parts count in <c>High</c>.</param>
/// <param name="PulsingDepth">Depth of the whole-picture pulsing (frame means) between 2 and 30 Hz, 0…1; 0 with its bound when there is none.</param>
/// <param name="BeatHz">Beat frequencies |α| of the components that show, strongest first, hertz, each ≥ 0; none for a still.</param>
/// <param name="Bands">Number of bands in the picture, f · |T_r| of the strongest component; null when the readout is unknown or nothing shows.</param>
/// <param name="Appearance">In what way it shows.</param>
/// <param name="Doubts">What the forecast can't tell.</param>
public sealed record FormatForecast(
    CameraFormat Format,
    Estimate ModulationDepth,
    Estimate PulsingDepth,
    IReadOnlyList<double> BeatHz,
    double? Bands,
    Appearance Appearance,
    IReadOnlyList<Finding> Doubts)
{
    /// <summary>What the takes could not have shown, as this format would show it; already counted in the upper ends.</summary>
    public HiddenRemainder Hidden { get; init; } = new(0, 0, null, false);

    /// <summary>The tones of the light as this format records them, one for each frequency that is still open.</summary>
    internal IReadOnlyList<CameraTone> Tones { get; init; } = [];

    /// <summary>Whether it shows in colour: the primaries do not flicker alike, so bands or pulses change the hue. Set where the channels were measured.</summary>
    public bool IsColoured { get; init; }

    /// <summary>Whether the depth was measured at this very setting and not carried over from another.</summary>
    public bool IsDirect { get; init; }
}
