namespace FlickerProbe.Footage;

/// <summary>When each decoded frame was shown, in seconds from the first, as the file says.</summary>
/// <param name="Seconds">One time per decoded frame, ascending; null where the file carries no usable times.</param>
/// <param name="ResolutionSeconds">The file's time base: no time is finer than this.</param>
public sealed record FrameTimes(double[]? Seconds, double ResolutionSeconds);
