using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Blocks of eight rows mirror slow, strong bands: the mirror images are the encoder's, not further lights.</summary>
public class EncoderEchoTests
{
    private const int Frames = 175, Rows = 180;
    private const double X = 0.21 / 25, Nu = 1.35 / Rows;

    // The lamp's slow bands and, a twentieth as strong, what blocks of eight rows make of them: 22.5 blocks over the height, less and plus 1.35.
    private static LightMatrix WithEcho(double echoNu)
    {
        var normal = new NormalNoise(21);
        return Planes.Of(Frames, Rows, (n, r) => 1 + 0.026 * Math.Cos(2 * Math.PI * (X * n + Nu * r))
            + 0.0013 * Math.Cos(2 * Math.PI * (-X * n + echoNu * r) + 1) + 0.0008 * normal.Next());
    }

    private static readonly CompressionLoss Editing = new(0.0003, 0.0003, 0, 0.005, 0.3, 0.017), Lossless = new(0, 0, 0, 0, 0.1, 0.017);

    private static bool FindsSecond(LightMatrix matrix, CompressionLoss loss, double nu) =>
        ToneModel.Build(matrix, FirstLook.At(matrix), loss, null, CancellationToken.None).Fit.Tones.Any(t => Math.Abs(Math.Abs(ToneSearch.Wrap(t.Nu)) - nu) * Rows < 0.5 && t.Amplitude > 0.0008);

    [Fact]
    public void The_mirror_image_in_the_blocks_is_no_light()
    {
        const double Echo = 1 / 8.0 - Nu;
        Assert.False(FindsSecond(WithEcho(Echo), Editing, Echo));
        Assert.True(FindsSecond(WithEcho(Echo), Lossless, Echo));
    }

    [Fact]
    public void A_second_light_elsewhere_stays() => Assert.True(FindsSecond(WithEcho(16.0 / Rows), Editing, 16.0 / Rows));
}
