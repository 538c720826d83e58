using FlickerProbe.Camera;

namespace FlickerProbe.Footage;

/// <summary>One region of one clip, sampled: all that the estimator is given. It never sees a file.</summary>
/// <param name="Traces">Frames × rows × strips of linear light.</param>
/// <param name="Times">Time stamps of the frames.</param>
/// <param name="Rate">Frame rate, exact: the file's own or the user's.</param>
/// <param name="RateIsUsers">Whether the user overruled the file's rate; time stamps are then only used for gaps.</param>
/// <param name="Exposure">Exposure time; null when unknown.</param>
/// <param name="Readout">Readout time over the coded height; null when unknown.</param>
/// <param name="Fields">Progressive, or the field order.</param>
/// <param name="Level">The region on the signal scale.</param>
/// <param name="Traits">What the recording kept.</param>
/// <param name="Reference">Linear light per coded row of the region with the fixture off, mean over the reference clip; null without one.
/// Same strips and rows as the traces: [strip][row].</param>
public sealed record SampledTake(
    RowTraces Traces,
    FrameTimes Times,
    FrameRate Rate,
    bool RateIsUsers,
    ExposureTime? Exposure,
    ReadoutTime? Readout,
    FieldOrder Fields,
    SignalLevel Level,
    RecordingTraits Traits,
    float[][]? Reference = null);
