using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>The floor of white noise is known: σ² Σw² Σv² · 4/(Σw Σv)², and Hann sums are Σw² = 1.5 (Σw)²/N (Harris 1978, equivalent noise bandwidth 1.5 bins).</summary>
public class NoiseFloorTests
{
    [Theory]
    [InlineData(128, 96, 1)]
    [InlineData(200, 64, 2)]
    [InlineData(90, 180, 3)]
    public void White_noise_has_its_known_power_everywhere(int frames, int rows, int seed)
    {
        LightMatrix matrix = Planes.Of(frames, rows, (_, _) => 1);
        NoiseFloor floor = NoiseFloor.Of(PlaneSpectrum.Of(matrix, Planes.Noise(matrix, seed)));
        double expected = 4 * 1.5 / frames * 1.5 / rows;

        Assert.InRange(floor.Typical / expected, 0.95, 1.5); // the higher of two medians, so a little above
        Assert.InRange(floor.High / floor.Typical, 1, 2);
    }

    [Fact]
    public void Tones_do_not_raise_it()
    {
        LightMatrix matrix = Planes.Of(128, 96, (_, _) => 1);
        float[] noise = Planes.Noise(matrix, 4);
        double without = NoiseFloor.Of(PlaneSpectrum.Of(matrix, noise)).Typical;
        for (int i = 0; i < noise.Length; i++)
            noise[i] += (float)(50 * Math.Cos(2 * Math.PI * (0.2 * (i / 96) + 0.1 * (i % 96))) + 9 * Math.Cos(2 * Math.PI * (0.33 * (i / 96) + 0.3 * (i % 96))));

        Assert.Equal(without, NoiseFloor.Of(PlaneSpectrum.Of(matrix, noise)).Typical, 0.15 * without);
    }

    [Fact]
    public void A_noisy_alias_is_noisy_at_every_band_frequency()
    {
        // An encoder that refreshes every fifth frame: change at alias 1/5 with no order along the rows.
        LightMatrix matrix = Planes.Of(125, 96, (_, _) => 1);
        float[] noise = Planes.Noise(matrix, 5), refresh = Planes.Noise(matrix, 6);
        for (int i = 0; i < noise.Length; i++) noise[i] += 3 * refresh[i % 96] * (float)Math.Cos(2 * Math.PI * (i / 96) / 5.0);
        PlaneSpectrum spectrum = PlaneSpectrum.Of(matrix, noise);

        NoiseFloor floor = NoiseFloor.Of(spectrum);

        Assert.True(floor.At(spectrum.AliasBin(0.2), 30) > 20 * floor.At(spectrum.AliasBin(0.35), 30));
    }
}
