namespace FlickerProbe.Rendering.Camera;

/// <summary>Noise of the sensor, Gaussian, added in linear light before the transfer curve.</summary>
/// <remarks>
/// Variance in linear light = read part + shot part · light. Given as what it looks like in the recording, because
/// that is what is known of a camera.
/// </remarks>
public sealed record SensorNoise
{
    /// <summary>Standard deviation at signal 0.5, in steps of 8-bit limited-range code (1/219 of the signal scale). 0: none.</summary>
    public double CodesAtMid { get; init; } = 1;

    /// <summary>Share of the variance at signal 0.5 that is shot noise, 0…1.</summary>
    public double ShotShare { get; init; } = 0.8;

    /// <summary>Standard deviation of the gain from frame to frame, as a share: a common wobble of all rows.</summary>
    public double FrameGain { get; init; }
}
