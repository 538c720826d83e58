namespace FlickerProbe.Footage;

/// <summary>How the region lies on the signal scale, 0 black … 1 nominal white, before any curve is undone.</summary>
/// <param name="Mean">Mean of all pixels and frames.</param>
/// <param name="Peak">Level that 0.1 % of the pixels exceed.</param>
/// <param name="Clipped">Share of pixels at or above the ceiling: nominal white of the range less one 8-bit step, or a pile-up at the highest code in use.</param>
/// <param name="Dark">Share of pixels under 5 % of the scale.</param>
public sealed record SignalLevel(double Mean, double Peak, double Clipped, double Dark);
