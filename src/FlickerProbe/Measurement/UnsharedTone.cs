namespace FlickerProbe.Measurement;

/// <summary>A tone that only a part of the region shows, so that nothing is stated of it: something moves, or a lamp lights that part alone.</summary>
/// <param name="AliasHz">Alias at the frame rate (field rate when interlaced), hertz, signed.</param>
/// <param name="BandsPerHeight">Bands over the height of the coded picture that go with it.</param>
public readonly record struct UnsharedTone(double AliasHz, double BandsPerHeight);
