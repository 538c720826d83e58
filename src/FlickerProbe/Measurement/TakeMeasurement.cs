using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Units;

namespace FlickerProbe.Measurement;

/// <summary>All that one region of one take says about its light.</summary>
/// <param name="Take">Settings the take was shot with.</param>
/// <param name="Frames">Frames read.</param>
/// <param name="FramesUsed">Frames that lie on the regular grid and were used.</param>
/// <param name="Level">The region on the signal scale.</param>
/// <param name="ModulationDepth">(max − min)/(max + min) of the light as recorded, 0…1, with interval; null when nothing can be said.</param>
/// <param name="FlickerIndex">Flicker index of the recorded waveform, 0…1; null when nothing can be said.</param>
/// <param name="DetectionLimit">Smallest on-camera amplitude that this take could have shown, compression counted in.</param>
/// <param name="SlowestBeatHz">Beats slower than this can't be told from level drift or from shading.</param>
/// <param name="LockedBound">Amplitude that bands locked to the frame rate might still have; null when they are excluded below the detection limit.</param>
/// <param name="Tones">Tones found, largest first.</param>
/// <param name="Findings">Doubts, with what to do.</param>
public sealed record TakeMeasurement(
    CameraFormat Take,
    int Frames,
    int FramesUsed,
    SignalLevel Level,
    Estimate? ModulationDepth,
    Estimate? FlickerIndex,
    double DetectionLimit,
    double SlowestBeatHz,
    double? LockedBound,
    IReadOnlyList<Tone> Tones,
    IReadOnlyList<Finding> Findings)
{
    /// <summary>On-camera amplitude that light repeating with the mains itself might still have, standing still; null when excluded.</summary>
    public double? HalfWaveBound { get; init; }

    /// <summary>Of <see cref="LockedBound"/>, what light that stands in fine bands might have; null where that is not known.</summary>
    public FineBands? FineBands { get; init; }

    /// <summary>What this take says where another one shows that nothing stands still; null when nothing could stand, or nobody worked it out.</summary>
    public MovingOnly? IfNothingStands { get; init; }

    /// <summary>Whether none of its doubts alone forbids a pass: only such a take rules anything out.</summary>
    public bool IsSound => !Findings.Any(f => f.ForbidsPass);

    /// <summary>What this take could not have shown.</summary>
    public BlindSpot Blind => new(
        IfNothingStands?.DetectionLimit ?? DetectionLimit, Take.Rate, Take.Exposure?.Seconds, Take.Readout?.Seconds, SlowestBeatHz, LockedBound)
    {
        HalfWaveBound = HalfWaveBound,
        FineBands = FineBands,
    };

    /// <summary>What makes the interval of the depth as wide as it is; empty where no depth is stated.</summary>
    public IReadOnlyList<UncertaintyPart> DepthParts { get; init; } = [];

    /// <summary>The recorded waveform over one period of the strongest group, relative to the mean (1 = mean); empty when no tone was found.</summary>
    public double[] Waveform { get; init; } = [];

    /// <summary>Half-width of the waveform's 95 % interval, same unit.</summary>
    public double WaveformHalfWidth { get; init; }

    /// <summary>Tones that only a part of the region shows, strongest first; nothing is stated of them.</summary>
    public IReadOnlyList<UnsharedTone> UnsharedTones { get; init; } = [];

    /// <summary>What the pictures need; null when not asked for.</summary>
    public TakeExhibit? Exhibit { get; init; }
}

/// <summary>What a take says of light whose bands move, standing bands left aside.</summary>
/// <param name="ModulationDepth">As the take's own, without what might stand.</param>
/// <param name="DetectionLimit">As the take's own, for bands that move.</param>
public sealed record MovingOnly(Estimate ModulationDepth, double DetectionLimit);

/// <summary>The data behind a take's pictures.</summary>
/// <param name="BandPicture">Residual light (row mean over its time mean, less 1), [frame, row], cut to at most 400 × 400 by averaging or taking part of the frames.</param>
/// <param name="BandPictureSeconds">Time that the frames of the band picture span, seconds.</param>
/// <param name="SpectrumFrequencyHz">Abscissa of the spectrum, hertz of band frequency over readout (or bands per height when the readout is unknown).</param>
/// <param name="SpectrumAmplitude">Largest amplitude over all aliases at that abscissa, relative to the mean.</param>
/// <param name="SpectrumIsInHertz">Whether the abscissa is hertz (readout known) or bands per picture height.</param>
public sealed record TakeExhibit(
    float[,] BandPicture, double BandPictureSeconds, double[] SpectrumFrequencyHz, double[] SpectrumAmplitude, bool SpectrumIsInHertz);
