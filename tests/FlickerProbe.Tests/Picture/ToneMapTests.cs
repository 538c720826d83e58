using FlickerProbe.Picture;

namespace FlickerProbe.Tests.Picture;

/// <summary>Maps of known tones: a picture whose left half flickers at one rate, whose right half at another, with a steady strip between.</summary>
public class ToneMapTests
{
    private const int Strips = 12, Rows = 90, Frames = 60;
    private static readonly MapTone Left = new(3.7, 1.9), Right = new(-8.2, 5.4);

    [Theory]
    [InlineData(0, 0)]
    [InlineData(1.0 / 60, 1)]
    public void Each_tone_shows_where_it_lives_with_its_amplitude_and_phase(double fieldSeconds, int parity)
    {
        IReadOnlyList<ToneMap> maps = ToneMap.Of(Picture(0.002, fieldSeconds, parity), [Left, Right], 9);

        for (int cell = 0; cell < Strips * 9; cell++)
        {
            int strip = cell % Strips;
            Check(maps[0], cell, strip < 5, 0.2, 0.6);
            Check(maps[1], cell, strip >= 7, 0.05, -1.1);
        }
    }

    [Fact]
    public void A_steady_noisy_picture_stays_clear()
    {
        StripLight light = Picture(0.03, 0, 1) with { };
        foreach (float[] frame in light.Light)
        {
            for (int at = 0; at < frame.Length; at++) frame[at] = 0.5f;
        }
        var random = new Random(7);
        foreach (float[] frame in light.Light)
        {
            for (int at = 0; at < frame.Length; at++) frame[at] *= 1 + 0.03f * ((float)random.NextDouble() - 0.5f);
        }

        Assert.Equal(0, ToneMap.Of(light, [Left], 9)[0].Largest);
    }

    private static void Check(ToneMap map, int cell, bool lives, double amplitude, double phase)
    {
        if (!lives)
        {
            Assert.True(float.IsNaN(map.Amplitude[cell]));
            return;
        }
        Assert.Equal(amplitude, map.Amplitude[cell], 0.003);
        Assert.Equal(phase, map.PhaseRadians[cell], 0.05);
    }

    private static StripLight Picture(double noise, double fieldSeconds, int parity)
    {
        var random = new Random(5);
        float[][] light = [.. Enumerable.Range(0, Frames).Select(_ => new float[Rows * Strips])];
        double[] seconds = [.. Enumerable.Range(0, Frames).Select(n => n * 1001 / 30000.0)];
        for (int n = 0; n < Frames; n++)
        {
            for (int row = 0; row < Rows; row++)
            {
                double t = seconds[n] + ((row & 1) == parity ? fieldSeconds : 0), y = (double)row / Rows;
                for (int strip = 0; strip < Strips; strip++)
                {
                    double change = strip < 5 ? 0.2 * Math.Cos(2 * Math.PI * (Left.AliasHz * t + Left.BandsPerHeight * y) + 0.6)
                        : strip >= 7 ? 0.05 * Math.Cos(2 * Math.PI * (Right.AliasHz * t + Right.BandsPerHeight * y) - 1.1) : 0;
                    light[n][row * Strips + strip] = (float)(0.4 * (1 + change + noise * (random.NextDouble() - 0.5)));
                }
            }
        }
        return new StripLight(light, Strips, Rows, seconds, fieldSeconds, parity);
    }
}
