namespace FlickerProbe.Measurement;

/// <summary>What a take shows before any tone is taken out of it.</summary>
/// <param name="Spectrum">Its spectrum; the search for tones goes on from it and changes it.</param>
/// <param name="Floor">The noise floor of that.</param>
internal sealed record FirstLook(PlaneSpectrum Spectrum, NoiseFloor Floor)
{
    /// <summary>Looks at a take's light as it is.</summary>
    public static FirstLook At(LightMatrix matrix)
    {
        PlaneSpectrum spectrum = PlaneSpectrum.Of(matrix, matrix.Relative);
        return new FirstLook(spectrum, NoiseFloor.Of(spectrum));
    }
}
