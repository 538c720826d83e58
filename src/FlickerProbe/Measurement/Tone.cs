using FlickerProbe.Units;

namespace FlickerProbe.Measurement;

/// <summary>One two-dimensional tone found in a take: alias along frames, band frequency along rows.</summary>
/// <param name="AliasHz">Alias α in hertz against the frame rate (field rate for interlaced footage), with interval. For unknown or positive
/// readout the sign is that of the pair (α, ν &gt; 0).</param>
/// <param name="BandsPerHeight">Band frequency ν as cycles over the whole coded height (= f · T_r), with interval; about 0 for whole-picture pulsing.</param>
/// <param name="Amplitude">Amplitude on camera relative to the mean level, a·|G|, 0…2, with interval.</param>
/// <param name="PhaseRadians">Phase φ′ of a cosine at grid tick 0 and region row 0, radians.</param>
/// <param name="FrequencyHz">The light's true frequency in hertz when one value remains, else null.</param>
/// <param name="CandidatesHz">All true frequencies that remain, ascending; one entry when resolved.</param>
/// <param name="Group">Tones with the same number are overtones of one fundamental; null when the tone stands alone or is intermodulation.</param>
/// <param name="HarmonicNumber">1 for the fundamental of its group, 2… for overtones; null when unknown.</param>
public sealed record Tone(
    Estimate AliasHz,
    Estimate BandsPerHeight,
    Estimate Amplitude,
    double PhaseRadians,
    Estimate? FrequencyHz,
    IReadOnlyList<double> CandidatesHz,
    int? Group = null,
    int? HarmonicNumber = null)
{
    /// <summary>Ratio of the amplitude to the smallest this take could show; how clearly it stands out.</summary>
    public double TimesLimit { get; init; }

    /// <summary>Parts of the frequency's interval: what each cause alone contributes, as a half-width in hertz; empty where several frequencies remain.</summary>
    public IReadOnlyList<UncertaintyPart> FrequencyParts { get; init; } = [];

    /// <summary>Parts of the amplitude's interval: what each cause alone contributes, as a half-width relative to the mean level.</summary>
    public IReadOnlyList<UncertaintyPart> Parts { get; init; } = [];
}
