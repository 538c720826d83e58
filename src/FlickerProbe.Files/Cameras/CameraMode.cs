namespace FlickerProbe.Files.Cameras;

/// <summary>One mode of a venue's camera whose readout was measured. A readout holds for the mode it was measured in, no other.</summary>
/// <param name="FrameRate">Frame rate as an exact fraction, such as <c>30000/1001</c>.</param>
/// <param name="Width">Width of the coded picture, pixels.</param>
/// <param name="Height">Height of the coded picture, pixels.</param>
/// <param name="ReadoutSeconds">Readout time over the coded height, seconds; negative: bottom to top; 0: global shutter.</param>
/// <param name="ReadoutLowSeconds">Lower end of its 95 % interval, seconds.</param>
/// <param name="ReadoutHighSeconds">Upper end of its 95 % interval, seconds.</param>
/// <param name="Clip">Name of the clip it was measured on; null when it was given by hand.</param>
public sealed record CameraMode(
    string FrameRate, int Width, int Height, double ReadoutSeconds, double ReadoutLowSeconds, double ReadoutHighSeconds, string? Clip);
