namespace FlickerProbe.Files.Decoding;

/// <summary>Mean linear light of a region in a view with the fixture off.</summary>
/// <param name="Luma">[strip][row].</param>
/// <param name="Channels">Red, green and blue likewise; empty when they were not sampled.</param>
internal sealed record ReferenceLight(float[][] Luma, IReadOnlyList<float[][]> Channels);
